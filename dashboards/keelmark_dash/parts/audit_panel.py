"""How often the rules speak when nothing changes: worked out when asked for, and kept while the figures stand."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, dcc, html, no_update

from keelmark.contracts.errors import AccessError, KeelmarkError
from keelmark.marks.answer_words import answer_words
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.table import table

__all__ = ["audit_panel", "register_audit"]

ASK = ids.named(ids.METHODS, "ask-audit")
ANSWER = ids.named(ids.METHODS, "audit-answer")
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


def audit_panel(squad: Any, *, may_ask: bool = True) -> list[Any]:
    """The last audit while the figures are the same, and for those who may the button that makes one."""
    kept = squad.kept_audit()
    return [
        html.P(
            "Seasons in which nothing changes are drawn from this squad's own days, and each rule looks at them. "
            "Beside it stands a made-up squad that trains on fixed days, where only the amounts scatter. "
            "It takes half a minute or so."
        ),
        dmc.Button("Work it out", id=ASK, variant="default")
        if may_ask
        else html.P("A coach has it worked out; the last answer stands here while the figures are the same."),
        dcc.Loading(html.Div(_answer(kept, squad) if kept else [], id=ANSWER, role="status")),
    ]


def register_audit(app: Dash, desk: Desk) -> None:
    """The audit is made when the button is pressed."""

    @app.callback(Output(ANSWER, "children"), Input(ASK, "n_clicks"), prevent_initial_call=True)
    def _audit(pressed: int | None) -> Any:
        if not pressed:
            return no_update
        try:
            return _answer(desk.squad.audit(), desk.squad)
        except KeelmarkError as error:
            return refusal(error)


def _answer(report: Any, squad: Any) -> list[Any]:
    found = report.audit
    return [
        _promises(report),
        *[html.P(sentence) for sentence in (*report.quietened, *_answers(squad))],
        _quiet(found.quiet.to_dicts()),
        _notices(found.notices.to_dicts()),
        _planted(found.planted.to_dicts()),
        _ramps(found.ramps.to_dicts()),
    ]


def _answers(squad: Any) -> list[str]:
    try:
        return answer_words(squad.usefulness())
    except AccessError:
        return []


def _promises(report: Any) -> html.Div:
    heads = [("Promise", "words"), ("Wanted", "text"), ("Found", "text"), ("Kept", "text")]
    body = [[p.promise, p.wanted, p.found, "yes" if p.kept else "no"] for p in report.promises]
    return table("What is promised", heads, body)


def _quiet(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Work done", "text"), ("Above the mark", "text"),
             ("Ratio above 1.5 on Sunday", "text"), ("Ratio above 1.5 on any day", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            row["frequency"],
            _share(row["above"], row["judged"]),
            _share(row["ratio"], row["ratio_judged"]),
            _share(row["any_day"], row["any_day_judged"]),
        ]
        for row in rows
    ]
    return table("Weeks that a rule speaks of when nothing has changed", heads, body)


def _notices(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Rule", "text"), ("Weeks with any", "text"), ("Notices a month", "text")]
    body = [
        [SQUADS[row["squad"]], RULES[row["rule"]], _share(row["with_any"], row["weeks"]), f"{row['a_month']:.2f}"]
        for row in rows
    ]
    return table("Notices when nothing has changed", heads, body)


def _planted(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Planted", "text"), ("Work done", "text"), ("Above the mark", "text"),
             ("Notice", "text"), ("Ratio above 1.5 on Sunday", "text")]  # fmt: skip
    body = [
        [
            SQUADS[row["squad"]],
            f"{EXTENTS[row['extent']]} +{100 * row['change']:.0f} %",
            row["frequency"],
            *(_share(row[name], row["planted"]) for name in ("mark", "notice", "ratio")),
        ]
        for row in rows
    ]
    return table("Planted weeks found the same week", heads, body)


def _ramps(rows: list[dict[str, Any]]) -> html.Div:
    heads = [("Squad", "text"), ("Rule", "text"), ("Within 8 weeks", "text"), ("Within 12", "text"),
             ("Within 16", "text")]  # fmt: skip
    body = [
        [SQUADS[row["squad"]], RULES[row["rule"]], *(_share(row[f"within_{n}"], row["ramps"]) for n in (8, 12, 16))]
        for row in rows
    ]
    return table("Work that grows by 8 % a week, found", heads, body)


def _share(count: int, of: int) -> str:
    return f"{100 * count / of:.1f} %" if of else "not given"
