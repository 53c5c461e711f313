"""Versions of each session side by side, as they would stand on the whiteboard, with who does which."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.words import count

__all__ = ["plan_versions"]


def plan_versions(plan: Any, programme: Any) -> list[Any]:
    """The boards, how good they are, and what stands in the way where limits conflict."""
    if programme.conflict:
        items = [html.Li(words) for words in programme.conflict]
        return [html.P("These agreed limits cannot all be kept, with any version there is:"), html.Ul(items)]
    if not programme.solution.feasible:
        return [html.P("No versions were found in the time there was. Try fewer versions.")]
    names = {person.athlete_id: person.name for person in plan.persons}
    boards = [_session(session, programme.of_session(session.key), names) for session in plan.week.sessions]
    solution = programme.solution
    proof = f"Proven to lie within {100 * solution.gap:.1f} % of the best choice"
    size = f"{count(solution.variables, 'variable')}, {count(solution.rows, 'condition')}"
    return [
        html.P(f"Aim: {programme.aims}."),
        *boards,
        html.Details(
            [
                html.Summary("All of it as one text"),
                html.Pre(programme.week_text(plan.planned), className="board", tabIndex=0),
            ]
        ),
        html.P(f"{proof} ({size}).", className="soft"),
    ]


def _session(session: Any, versions: Any, names: dict[str, str]) -> html.Section:
    boards = [
        html.Div(
            [
                html.H4([html.Span(one.letter, className="letter"), _who(one, names)]),
                html.Pre(one.text, className="board"),
                html.Ul([html.Li(words) for words in one.edits], className="edits") if one.edits else None,
            ],
            className="version",
        )
        for one in versions
    ]
    return html.Section([html.H3(session.name), html.Div(boards, className="boards")], className="versions-of")


def _who(version: Any, names: dict[str, str]) -> str:
    if not version.athletes:
        return " as written"
    told = ", ".join(names.get(key, key) for key in version.athletes)
    return f" {told}"
