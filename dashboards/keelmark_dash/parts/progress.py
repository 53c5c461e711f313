"""Long work as a page shows it: a bar, what is being done, a button that stops it, and then what came of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import dash_mantine_components as dmc
from dash import MATCH, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.errors import AccessError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.jobs import DONE, FAILED, REFUSED, STOPPED, Job, Tell
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark

__all__ = ["LongWork", "Shown", "begin", "begun", "progress", "register_progress"]

LOOK_EVERY_MS = 400
_STOPPED = "Stopped. Nothing was changed."
_TOO_LATE = "This is stored already, so it cannot be stopped any more. It can be taken back once it stands below."
_FAILED = "This could not be done: something went wrong inside keelmark. Its log says what."
_PARTS = ("job", "job-clock", "job-box", "job-answer")


@dataclass(frozen=True, slots=True)
class Shown:
    """What came of some work as the page shows it: content, and a file where there is one."""

    content: Any = None
    file: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class LongWork:
    """One kind of long work of a page: its name in the table of parts, and how its answer is shown."""

    page: str
    what: str
    show: Callable[[Desk, Any], Shown]


def progress(page: str, what: str, words: str, running: Job | None = None, answer: Any = None) -> html.Div:
    """The place of some long work; hidden until it is begun.

    Parameters
    ----------
    page, what : str
        As in the `LongWork`.
    words : str
        What the bar is of, for those who do not see it: `How far the audit is`.
    running : Job, optional
        Work that is under way already.
    answer : anything a page can show, optional
        What came of it last.
    """
    box = html.Div(
        [
            html.Progress(id=ids.each(page, "job-bar", what), max="1", **aria(label=words)),
            html.Span(running.said if running else "", id=ids.each(page, "job-said", what), role="status"),
            dmc.Button("Stop", id=ids.each(page, "job-stop", what), variant="default"),
        ],
        id=ids.each(page, "job-box", what),
        className="long-work",
        hidden=running is None,
    )
    return html.Div(
        [
            dcc.Store(id=ids.each(page, "job", what), data=running.key if running else None),
            dcc.Interval(id=ids.each(page, "job-clock", what), interval=LOOK_EVERY_MS, disabled=running is None),
            box,
            html.Div(answer, id=ids.each(page, "job-answer", what), role="status"),
            dcc.Download(id=ids.each(page, "job-file", what)),
        ]
    )


def begun(page: str, what: str) -> list[Output]:
    """What a callback that begins some work writes to; `begin` gives it."""
    properties = zip(_PARTS, ("data", "disabled", "hidden", "children"), strict=True)
    return [Output(ids.each(page, part, what), prop, allow_duplicate=True) for part, prop in properties]


def begin(desk: Desk, what: str, work: Callable[[Tell], Any], about: str | None = "") -> list[Any]:
    """Begin some work in the name of whoever asks; gives the values of `begun`. See `Jobs.begin`."""
    job = desk.jobs.begin(desk.person, what, work, about)
    return [job.key, False, False, None]


def register_progress(app: Dash, desk: Desk, kinds: list[LongWork]) -> None:
    """Tell how far work is, stop it, and show what came of it, to whoever began it and to nobody else."""
    shows = {(kind.page, kind.what): kind.show for kind in kinds}

    @app.callback(
        Output(ids.each(MATCH, "job-bar", MATCH), "value"),
        Output(ids.each(MATCH, "job-said", MATCH), "children"),
        Output(ids.each(MATCH, "job-clock", MATCH), "disabled"),
        Output(ids.each(MATCH, "job-box", MATCH), "hidden"),
        Output(ids.each(MATCH, "job-answer", MATCH), "children"),
        Output(ids.each(MATCH, "job-file", MATCH), "data"),
        Output(ids.each(MATCH, "job", MATCH), "data"),
        Input(ids.each(MATCH, "job-clock", MATCH), "n_intervals"),
        State(ids.each(MATCH, "job", MATCH), "data"),
        prevent_initial_call=True,
    )
    def _look(_ticks: int | None, key: str | None) -> Any:
        if not key or not ctx.triggered_id:
            return [no_update] * 7
        try:
            job = desk.jobs.of(desk.person, key)
        except AccessError as error:
            return None, "", True, True, refusal(error), no_update, None
        if not job.over:
            return job.share, job.said, False, False, no_update, no_update, no_update
        shown = _shown(shows, desk, job, str(ctx.triggered_id["page"]))
        return None, "", True, True, shown.content, shown.file or no_update, None

    @app.callback(
        Output(ids.each(MATCH, "job-clock", MATCH), "disabled", allow_duplicate=True),
        Output(ids.each(MATCH, "job-box", MATCH), "hidden", allow_duplicate=True),
        Output(ids.each(MATCH, "job-answer", MATCH), "children", allow_duplicate=True),
        Input(ids.each(MATCH, "job-stop", MATCH), "n_clicks"),
        State(ids.each(MATCH, "job", MATCH), "data"),
        prevent_initial_call=True,
    )
    def _stop(pressed: int | None, key: str | None) -> Any:
        if not pressed or not key:
            return [no_update] * 3
        if desk.jobs.stop(desk.person, key):
            return True, True, remark(_STOPPED)
        return no_update, no_update, remark(_TOO_LATE)


def _shown(shows: dict[tuple[str, str], Callable[[Desk, Any], Shown]], desk: Desk, job: Job, page: str) -> Shown:
    if job.state == DONE:
        return shows[page, job.what](desk, job.answer)
    if job.state == REFUSED and job.error is not None:
        return Shown(refusal(job.error))
    return Shown({STOPPED: remark(_STOPPED), FAILED: remark(_FAILED, tone="refused")}.get(job.state))
