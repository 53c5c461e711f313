"""One session explained on the page."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.shown_as import movement_words
from keelmark_dash.words import amount, number_within, span

__all__ = ["plan_session"]

_UNITS = {"reps": "rep", "distance_m": "m", "duration_s": "s", "calories": "kcal"}
EFFECTS_SHOWN = 4


def plan_session(told: Any) -> list[Any]:
    """Amounts, parts with time and lumbar loading, what ends sets first, warm-up, technique, ways to scale."""
    if not told.movements and not told.not_counted:
        return [html.P("Nothing in this session could be read. What is not clear is told beside the week.")]
    content: list[Any] = [
        table(
            "Amounts to expect",
            [("Movement", "text"), ("Amount", "figure"), ("Bounds", "text")],
            [[movement_words(one.movement), *_amount(one)] for one in told.movements],
        ),
        table(
            "Parts",
            [("Part", "text"), ("Time", "text"), ("Lumbar loading (N m s)", "figure"), ("Bounds", "text")],
            [[part.label, _time(part), *_lumbar(part.lumbar)] for part in told.parts],
        ),
    ]
    if told.limiter:
        content.append(html.P(["Likely to end sets first: ", html.Strong(told.limiter), "."]))
    if told.not_counted:
        content.append(html.P(f"Only a score tells how much, so it is not counted: {'; '.join(told.not_counted)}."))
    for title, lines in (("Warm-up", told.warm_up), ("To mind", told.cautions)):
        if lines:
            content += [html.H3(title), html.Ul([html.Li(line) for line in lines])]
    if told.scaling:
        content += [html.H3("Ways to scale"), html.Ul([html.Li(_scaling(one)) for one in told.scaling])]
    return [*content, html.P(told.on_the_spot, className="soft")]


def _amount(one: Any) -> list[str]:
    unit = _UNITS[one.measure]
    bounds = "as written" if one.low == one.high else span(one.amount, one.low, one.high, unit)
    return [amount(one.amount, unit, one.low, one.high), bounds]


def _time(part: Any) -> str:
    if part.rounds is None:
        return str(part.domain)
    value, low, high = part.rounds
    about = "" if low == high else "about "
    return f"{part.domain}; {about}{number_within(value, low, high)} rounds"


def _lumbar(bounds: tuple[float | None, float, float | None]) -> list[str]:
    value, low, high = bounds
    figure = "not known" if value is None else number_within(value, low, high)
    return [figure, "exact" if low == high else span(low if value is None else value, low, high)]


def _scaling(one: Any) -> list[Any]:
    shown, rest = one.effect[:EFFECTS_SHOWN], one.effect[EFFECTS_SHOWN:]
    effect = f"{'; '.join(shown)}." if shown else "No amount changes that is known."
    more = html.Details([html.Summary(f"{len(rest)} more"), html.Ul([html.Li(words) for words in rest])])
    return [html.Strong(f"{one.words}: "), f"{one.cost_words}. {effect}", more if rest else None]
