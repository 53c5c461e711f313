"""Which questions of the pages are answered slowly, for the log; by the callback's name, never by what was asked."""

from __future__ import annotations

import logging
import time

import flask
from dash import Dash

from keelmark_dash.access.callback_names import callback_names

__all__ = ["SLOW_MS", "tell_slow_answers"]

SLOW_MS = 500
_log = logging.getLogger(__name__)


def tell_slow_answers(app: Dash, slow_ms: float = SLOW_MS) -> None:
    """Log each answer of a callback that takes longer than `slow_ms` milliseconds."""

    def _begin() -> None:
        flask.g.keelmark_began = time.perf_counter()

    def _end(answer: flask.Response) -> flask.Response:
        began = flask.g.pop("keelmark_began", None)
        if began is None or flask.request.endpoint != "/_dash-update-component":
            return answer
        took = (time.perf_counter() - began) * 1000
        if took >= slow_ms:
            question = flask.request.get_json(silent=True) if answer.status_code < 400 else None
            output = question.get("output") if isinstance(question, dict) else None
            callback = callback_names(app).get(output) if isinstance(output, str) else None
            _log.warning("Slow answer", extra={"callback": callback, "ms": round(took), "status": answer.status_code})
        return answer

    app.server.before_request(_begin)
    app.server.after_request(_end)
