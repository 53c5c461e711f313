"""How a planned week is worked out, and what it is shown beside as context only."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark.plan import BALANCE_NOTE, TAPER_CONTEXT

__all__ = ["PLAN_SECTION", "plan_methods"]

PLAN_SECTION = ("planning", "A week that is planned")
_LINES = (
    "A planned session is read like any whiteboard and counted by the same rules as logged work. Two people who read "
    "the same text with the same body and maxima get the same figures.",
    "Rounds of an open clock are taken from the board where it names a goal. Else they follow from the athlete's own "
    "scores of the last half year, or the squad's. Where there are none, the general pace of each movement is taken: "
    "the clock over one and a half times the seconds of one round. The share of one and a half is a judgement, and the "
    "range is wide.",
    "Clashes go by amounts and hours that a coach might name. They are a judgement without a published source, and can "
    "be turned up or down together.",
    f"Balance: {BALANCE_NOTE} No published norm for pushing against pulling, or for any other pair, counted in reps "
    "has been found. Pairs are context, never limits.",
    TAPER_CONTEXT,
    "Versions keep the board and lower amounts in steps that a coach would write. A mixed-integer programme, solved by "
    "HiGHS, chooses who does which: nobody passes an agreed amount, marks are passed as little as can be, and as "
    "little as possible is changed. The page says how near the choice is proven to be to the best one.",
    "An agreed amount holds for the figure that is planned. Where a figure has a range, its high end may lie above it.",
)


def plan_methods() -> list[Any]:
    """The lines of the section."""
    return [html.Ul([html.Li(line) for line in _LINES])]
