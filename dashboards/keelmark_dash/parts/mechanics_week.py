"""What a figure of an athlete's week rests on: the back, full sets of hinge lifts, landings by class."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import Dash, Input, Output, dcc, html

from keelmark.contracts.display import shown_unit
from keelmark.contracts.errors import KeelmarkError
from keelmark.dose.lumbar import LUMBAR_CHANNELS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.table import table
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.shown_as import movement_words
from keelmark_dash.words import amount, count, day_words, number, number_within, span

__all__ = ["mechanics_panels", "register_mechanics"]

WIDTH = ids.named(ids.ATHLETE, "width")
WIDTH_OF = ids.named(ids.ATHLETE, "width-of")
_LANDINGS = ("jump_contacts", "jump_contacts_high", "step_downs")
_STATES = {
    "tested": "tested",
    "stated": "stated, not tested",
    "estimated": "estimated from recent sets",
    "stale": "stale: recorded more than half a year away, or only later",
}


def mechanics_panels(here: Visit) -> list[html.Section]:
    """The panel that goes with the chosen kind of work, or none."""
    mechanics = here.season.season.mechanics
    athlete, week, channel = here.address.athlete, here.address.week, here.address.channel
    if channel in LUMBAR_CHANNELS:
        return [_back(mechanics.back(athlete, week), here)]
    if channel == "high_rep":
        return [_sets(mechanics.high_rep(athlete, week))]
    if channel in _LANDINGS:
        return [_landings(mechanics.landings(athlete, week))]
    return []


def register_mechanics(app: Dash, desk: Desk) -> None:
    """What widens a lumbar figure is worked out once the rest of the page stands."""

    @app.callback(Output(WIDTH, "children"), Input(WIDTH_OF, "data"))
    def _widen(shown: dict[str, str]) -> Any:
        try:
            found = desk.season().season.mechanics.width(shown["athlete"], shown["week"], shown["channel"])
        except KeelmarkError as error:
            return refusal(error)
        return _width(found)


def _width(found: pl.DataFrame) -> list[Any]:
    if found.is_empty():
        return [html.P("There is no interval to explain: no known work loads the back, or its bounds are one.")]
    widest = found.head(3).rows(named=True)
    causes = [html.Li(f"{row['label']}: {_share(row['narrows'])} of the width") for row in widest]
    asked = found.filter(pl.col("question").is_not_null())
    said: list[Any] = [html.P("If one of these were known exactly, this much of the width would go:"), html.Ul(causes)]
    if asked.is_empty():
        return [*said, html.P("Nobody can be asked for these: they are ranges of bodies and of movements.")]
    best = asked.row(0, named=True)
    share = f" The answer would take {_share(best['narrows'])} of the width away."
    return [*said, html.P([html.Strong(f"Ask: {best['question']}"), share])]


def _share(narrows: float) -> str:
    """A share of the width to the nearest 5 %: it comes from draws."""
    whole = round(20 * narrows) * 5
    return f"about {whole} %" if whole else "less than 5 %"


def _back(told: Any, here: Visit) -> html.Section:
    shown = {"athlete": here.address.athlete, "week": here.address.week, "channel": here.address.channel}
    parts: list[Any] = [
        dcc.Store(id=WIDTH_OF, data=shown),
        *_beyond(told.beyond_fit, here.address.channel),
        html.H3("Why it is not one exact number"),
        html.Div(id=WIDTH, className="width-told"),
    ]
    if told.assumptions:
        parts += [html.P("Assumed about the body:"), html.Ul([html.Li(line) for line in told.assumptions])]
    if told.not_known.height:
        parts += [html.H3("Not known"), html.P("Counted as open, not as zero."), html.Ul(_not_known(told))]
    parts += [html.H3("Light and heavy reps"), html.P(told.powers or _agree(told.ranked))]
    if told.levels.height:
        parts += [html.H3("Reps by how hard they pressed"), _levels(told.levels)]
    if told.hanging:
        parts += [html.H3("Hanging"), html.P(_hanging(told.hanging))]
    return panel(ids.named(ids.ATHLETE, "back"), "What it rests on", *parts, take_away(ids.ATHLETE, "mechanics"))


def _beyond(beyond_fit: tuple[float, float, float], channel: str) -> list[html.P]:
    """Reps that the fatigue law was not made for, where the fatigue index is looked at."""
    surely, perhaps, known = beyond_fit
    if channel != "lumbar_fatigue" or not perhaps:
        return []
    many = (
        number(surely, "rep")
        if round(surely) == round(perhaps)
        else f"{number(surely, 'rep')} to {number(perhaps, 'rep')}"
    )
    said = (
        f"{many} of {count(round(known), 'rep')} lie beyond the end of the law's fit. Each counts as one rep at that "
        "end. That leaves the index open upwards, and weeks of heavy reps look more alike than they were."
    )
    if 2 * surely > known:
        said += " As most of these reps do so, the index is nearly a count of heavy reps. The other figures tell more."
    return [html.P(said)]


def _hanging(told: Any) -> str:
    seconds, time = _figure_and_span(told.seconds, told.seconds_low, told.seconds_high, "s")
    newtons, force = _figure_and_span(told.newtons, told.newtons_low, told.newtons_high, "N")
    hung = f"{seconds} s" if time == seconds else f"{seconds} s ({time})"
    return (
        f"{hung} on the hands, with legs and pelvis pulling the lowest lumbar joint apart by about {newtons} N "
        f"({force}). It is told beside compression and never taken off it."
    )


def _agree(ranked: int) -> str:
    if not ranked:
        return "This week has no known figure to rank."
    return f"Three ways of weighing light against heavy reps place this week alike among {count(ranked, 'known week')}."


def _not_known(told: Any) -> list[html.Li]:
    items = []
    for row in told.not_known.iter_rows(named=True):
        said = f"{movement_words(row['movement'])}, {count(row['efforts'], 'row')}: {row['reason']} not known."
        if ":" in row["reason"]:
            said = f"{movement_words(row['movement'])}, {count(row['efforts'], 'row')}, not used: {row['reason']}."
        if row["reason"].startswith("posture"):
            said += " Say in the squad's own movements which movement it is like, and its posture is taken from there."
        items.append(html.Li(said))
    return items


def _levels(levels: pl.DataFrame) -> html.Div:
    heads = [("Compression above", "text"), ("Reps", "figure"), ("Between", "figure")]
    body = [
        [f"{row['level']:g} body weights", *_figure_and_span(row["reps"], row["low"], row["high"], "rep")]
        for row in levels.iter_rows(named=True)
    ]
    return table("The athlete's own body weight; a way of counting, not a limit", heads, body)


def _figure_and_span(value: float, low: float, high: float | None, unit: str) -> tuple[str, str]:
    """A figure and its bounds, each cell of a table."""
    return number_within(value, low, high, unit), span(value, low, high, unit)


def _sets(rows: pl.DataFrame) -> html.Section:
    heads = [
        ("Lift", "text"), ("Maximum", "words"), ("One set could hold", "figure"), ("Full sets", "figure"),
        ("Reps a minute", "figure"),
    ]  # fmt: skip
    body = [
        [
            f"{movement_words(row['movement'])}, {day_words(row['date'])}",
            _maximum(row),
            _held(row),
            _full_sets(row),
            "not known" if row["reps_per_minute"] is None else f"{row['reps_per_minute']:.0f}",
        ]
        for row in rows.iter_rows(named=True)
    ]
    if not body:
        return panel(ids.named(ids.ATHLETE, "sets"), "What it rests on", html.P("No hinge lift stands in this week."))
    parts: list[Any] = [table("Hinge lifts of this week", heads, body, stack=True)]
    if rows["reps_per_minute"].is_not_null().any():
        parts.append(
            html.P("Reps a minute are counted over the whole clock of a part, pauses and other work included.")
        )
    if rows["above_maximum"].fill_null(False).any():
        parts.append(
            html.P(
                "Where a load is above the maximum on record, each rep counts as one full set at the most and each "
                "set as one at the least: that maximum is too low. A new test or a new statement mends it."
            )
        )
    if rows["extrapolated"].fill_null(False).any():
        parts.append(
            html.P("The formula was made for sets of up to about 12 reps; beyond that it is stretched, and said so.")
        )
    return panel(ids.named(ids.ATHLETE, "sets"), "What it rests on", *parts, take_away(ids.ATHLETE, "mechanics"))


def _maximum(row: dict[str, Any]) -> str:
    if row["maximum_kg"] is None:
        return "not known: no test, no statement, no recent set"
    figure, bounds = _figure_and_span(row["maximum_kg"], row["maximum_kg_low"], row["maximum_kg_high"], "kg")
    return f"{figure} {shown_unit('kg')} ({bounds}), {_STATES.get(row['state'], row['state'])}"


def _held(row: dict[str, Any]) -> str:
    if row["reps_possible"] is None:
        return "not known"
    if row["above_maximum"]:
        return f"{amount(row['load_kg'], 'kg')} is above the maximum on record"
    held = row["reps_possible"], row["reps_possible_low"], row["reps_possible_high"]
    figure, bounds = _figure_and_span(*held, "rep")
    return f"{figure} reps ({bounds})" + (", stretched" if row["extrapolated"] else "")


def _full_sets(row: dict[str, Any]) -> str:
    if row["capacities"] is None:
        return "not known"
    figure, bounds = _figure_and_span(row["capacities"], row["capacities_low"], row["capacities_high"], "")
    return f"{figure} ({bounds})"


def _landed(row: dict[str, Any]) -> tuple[str, str]:
    if row["contacts"] is None:
        return "not known", f"at least {number(row['low'], 'contact')}"
    return _figure_and_span(row["contacts"], row["low"], row["high"], "contact")


def _landings(rows: pl.DataFrame) -> html.Section:
    heads = [("Class", "text"), ("Contacts", "figure"), ("Between", "figure"), ("Force in such landings", "text")]
    body = [
        [
            row["kind"],
            *_landed(row),
            "not a landing from a jump"
            if row["force_low"] is None
            else f"{row['force_low']:g} to {row['force_high']:g} body weights",
        ]
        for row in rows.iter_rows(named=True)
    ]
    if not body:
        return panel(ids.named(ids.ATHLETE, "landed"), "Landings by class", html.P("No landing stands in this week."))
    source = (
        "Force is the largest under both feet in landings of that class: moderate and high after Wallace and others "
        "(2010), J Strength Cond Res 24(1):207-212; low is from memory. Nobody's feet were measured here."
    )
    return panel(
        ids.named(ids.ATHLETE, "landed"),
        "Landings by class",
        table("Landings of this week", heads, body, stack=True),
        html.P(source, className="soft"),
        take_away(ids.ATHLETE, "mechanics"),
    )
