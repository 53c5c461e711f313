"""One session explained on the page."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.words import number

__all__ = ["plan_session"]

_UNITS = {"reps": "rep", "distance_m": "m", "duration_s": "s", "calories": "kcal"}
EFFECTS_SHOWN = 4


def plan_session(told: Any) -> list[Any]:
    """Amounts, parts with time and lumbar loading, what ends sets first, warm-up, technique, ways to scale."""
    content: list[Any] = [
        table(
            "Amounts to expect",
            [("Movement", "text"), ("Amount", "figure"), ("Bounds", "text")],
            [[one.label, *_amount(one)] for one in told.movements],
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
    exact = one.low == one.high
    return [
        f"{number(one.amount, unit)} {unit}",
        "as written" if exact else f"{number(one.low, unit)} to {number(one.high, unit)}",
    ]


def _time(part: Any) -> str:
    rounds = "" if part.rounds is None else f"; about {part.rounds.value:.1f} rounds"
    return part.domain + rounds


def _lumbar(bounds: tuple[float | None, float, float | None]) -> list[str]:
    value, low, high = bounds
    figure = "not known" if value is None else number(value)
    return [figure, f"{number(low)} or more" if high is None else f"{number(low)} to {number(high)}"]


def _scaling(one: Any) -> list[Any]:
    shown, rest = one.effect[:EFFECTS_SHOWN], one.effect[EFFECTS_SHOWN:]
    effect = f"{'; '.join(shown)}." if shown else "No amount changes that is known."
    more = html.Details([html.Summary(f"{len(rest)} more"), html.Ul([html.Li(words) for words in rest])])
    return [html.Strong(f"{one.words}: "), f"{one.cost_words}. {effect}", more if rest else None]
