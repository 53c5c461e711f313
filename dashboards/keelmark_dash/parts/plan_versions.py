"""Versions of each session side by side, as they would stand on the whiteboard, with who does which."""

from __future__ import annotations

from typing import Any

from dash import html

__all__ = ["plan_versions"]


def plan_versions(plan: Any, programme: Any) -> list[Any]:
    """The boards, how good they are, and what stands in the way where limits conflict."""
    if programme.conflict:
        items = [html.Li(words) for words in programme.conflict]
        return [html.P("These agreed amounts cannot all be kept, whatever version is done:"), html.Ul(items)]
    if not programme.solution.feasible:
        return [html.P("No versions were found in the time there was. Try fewer versions.")]
    names = {person.athlete_id: person.name for person in plan.persons}
    boards = [_session(session, programme.of_session(session.key), names) for session in plan.week.sessions]
    return [
        html.P(f"Aim: {programme.aims}. {programme.proof}"),
        *boards,
        html.Details(
            [
                html.Summary("All of it as one text"),
                html.Pre(programme.week_text(plan.planned), className="board", tabIndex=0),
            ]
        ),
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
