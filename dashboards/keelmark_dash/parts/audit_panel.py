"""How often the rules speak when nothing changes: worked out when asked for, and kept while the figures stand."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, html, no_update

from keelmark.contracts.errors import AccessError
from keelmark.marks.answer_words import answer_words
from keelmark.marks.audit_words import (
    MOST_NOTICES,
    NAMED_WORDS,
    STEADINESS_WORDS,
    named_words,
    scatter_words,
    share_words,
)
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.progress import LongWork, Shown, begin, begun, progress
from keelmark_dash.parts.table import table
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.words import count

__all__ = ["LONG_WORK", "audit_panel", "register_audit"]

ASK = ids.named(ids.METHODS, "ask-audit")
SQUADS = {"own": "This squad", "reference": "Made-up squad"}
EXTENTS = {"one": "one kind of work", "whole": "the whole week"}
RULES = {
    "week": "single weeks",
    "slow": "slow rises",
    "both": "both rules",
    "first": "both rules, shown first",
    "ratio": "a ratio above 1.5, for comparison",
    "cusum": "a cumulative sum, for comparison",
    "notice": "notices",
}


def audit_panel(here: Visit) -> list[Any]:
    """The last audit while the figures are the same, and for those who may the button that makes one."""
    kept = here.squad.kept_audit()
    told = _answer(kept, here.squad) if kept else None
    return [
        html.P(
            "Seasons in which nothing changes are drawn from this squad's own days, and each rule looks at them. "
            "Beside it stands a made-up squad that trains on fixed days, where only the amounts scatter. "
            "It takes half a minute or so."
        ),
        dmc.Button("Work it out", id=ASK, variant="default")
        if here.may("audit")
        else html.P("A coach has it worked out; the last answer stands here while the figures are the same."),
        progress(ids.METHODS, "audit", "How far the audit is", here.running("audit"), told),
    ]


def register_audit(app: Dash, desk: Desk) -> None:
    """The audit is made beside the page when the button is pressed."""

    @app.callback(*begun(ids.METHODS, "audit"), Input(ASK, "n_clicks"), prevent_initial_call=True)
    def _audit(pressed: int | None) -> Any:
        if not pressed:
            return [no_update] * 4
        squad = desk.squad
        return begin(desk, "audit", lambda tell: squad.audit(lambda said: tell(said, None)))


LONG_WORK = LongWork(ids.METHODS, "audit", lambda desk, report: Shown(_answer(report, desk.squad)))


def _answer(report: Any, squad: Any) -> list[Any]:
    found = report.audit
    return [
        _promises(report),
        *[html.P(sentence) for sentence in (*report.quietened, *_answers(squad))],
        _quiet(found.quiet.to_dicts()),
        _notices(found.notices.to_dicts()),
        _planted(found.planted.to_dicts()),
        _steadiness(found.steadiness.to_dicts()),
        html.P(STEADINESS_WORDS),
        _named(found.named.to_dicts()),
        html.P(NAMED_WORDS),
        _ramps(found.ramps.to_dicts()),
        take_away(ids.METHODS, "audit"),
    ]


def _answers(squad: Any) -> list[str]:
    try:
        return answer_words(squad.usefulness())
    except AccessError:
        return []


def _promises(report: Any) -> html.Div:
    heads = [("Promise", "words"), ("Wanted", "text"), ("Found", "text"), ("Kept", "text")]
    body = [[p.promise, p.wanted, p.found, "yes" if p.kept else "no"] for p in report.promises]
    return table("What is promised", heads, body, stack=True)


def _quiet(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Work done", "text"), ("Above the mark", "text"),
             ("Ratio above 1.5 on Sunday", "text"), ("Ratio above 1.5 on any day", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            row["frequency"],
            share_words(row["above"], row["judged"]),
            share_words(row["ratio"], row["ratio_judged"]),
            share_words(row["any_day"], row["any_day_judged"]),
        ]
        for row in rows
    ]
    return table("Weeks that a rule speaks of when nothing has changed", heads, body, stack=True)


def _notices(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Rule", "text"), ("Weeks with any", "text"), ("Notices a month", "text")]
    body = [
        [SQUADS[row["squad"]], RULES[row["rule"]], share_words(row["with_any"], row["weeks"]), f"{row['a_month']:.2f}"]
        for row in rows
    ]
    return table("Notices when nothing has changed", heads, body, stack=True)


def _planted(rows: list[dict[str, Any]]) -> html.Details:
    heads = [("Squad", "text"), ("Planted", "text"), ("Work done", "text"), ("Above the mark", "text"),
             ("Notice", "text"), ("Ratio above 1.5 on Sunday", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            f"{EXTENTS[row['extent']]} +{100 * row['change']:.0f} %",
            row["frequency"],
            *(share_words(row[name], row["planted"]) for name in ("mark", "notice", "ratio")),
        ]
        for row in rows
    ]
    caption = "Planted weeks found the same week"
    shown = table(caption, heads, body, hide_caption=True, stack=True)
    return html.Details([html.Summary(f"{caption} ({count(len(body), 'line')})"), shown])


def _steadiness(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Weeks scatter by", "text"), ("Above the mark", "text"), ("Notice", "text"),
             ("Ratio above 1.5 on Sunday", "text"), (MOST_NOTICES.capitalize(), "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            scatter_words(row["scatter"]),
            *(share_words(row[name], row["planted"]) for name in ("mark", "notice", "ratio")),
            f"{100 * row['most']:.0f} %",
        ]
        for row in rows
    ]
    return table(
        "Doubled weeks of one kind of work done three times a week or more, found the same week",
        heads,
        body,
        stack=True,
    )


def _named(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Planned week", "text"), ("Weeks with a notice", "text"),
             ("Weeks after with one", "text"), ("Above the mark", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            named_words(row),
            *(f"{row[name]} of {row['weeks']}" for name in ("with_any", "after_any")),
            share_words(row["above"], row["judged"]),
        ]
        for row in rows
    ]
    return table("Weeks that were planned otherwise", heads, body, stack=True)


def _ramps(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Rule", "text"), ("Within 8 weeks", "text"), ("Within 12", "text"),
             ("Within 16", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            RULES[row["rule"]],
            *(share_words(row[f"within_{n}"], row["ramps"]) for n in (8, 12, 16)),
        ]
        for row in rows
    ]
    return table("Work that grows by 8 % a week, found", heads, body, stack=True)
