"""What a browser is told when something goes wrong: plain words and a reference number."""

from __future__ import annotations

import logging
import secrets
from typing import Any

import flask
from werkzeug.exceptions import HTTPException

__all__ = ["reference", "refusal_page", "tell_faults"]

_log = logging.getLogger(__name__)
_WORDS = {
    400: ("This could not be read", "The question that came from your browser is not one that keelmark knows."),
    401: ("Sign in first", "You have been signed out, or were never signed in."),
    403: ("Not open to you", "Your account may not see or do this. Ask the owner of this squad if you need it."),
    404: ("No such page", "There is nothing at this address. The pages stand at the top of each page."),
    405: ("This could not be done", "The address is right, but it is asked in another way."),
    413: ("Too large", "What was sent is larger than keelmark takes. Send it in parts."),
    421: ("Another name", "This machine is asked for under a name that it does not go by."),
    429: ("Too many tries", "Wait a quarter of an hour, then try again."),
}
_NOTED = frozenset({400, 401, 403, 413, 421, 429})
"""Codes of refusals that are noted in the log, by the callback's name and never by who asked what."""
_OTHER = ("Something went wrong", "keelmark could not do this. Nothing was half stored.")


def reference() -> str:
    """A number under which the log tells what happened."""
    return secrets.token_hex(4)


def refusal_page(code: int, said: str = "", number: str = "") -> flask.Response:
    """An answer of a 4xx or 5xx code: a page for people, or JSON for the pages' own questions."""
    title, words = _WORDS.get(code, _OTHER)
    if code in _NOTED:
        _log.warning("Refused", extra={"status": code, "callback": flask.g.get("keelmark_callback")})
    if flask.request.path.startswith("/_dash-"):
        told: dict[str, Any] = {"title": title, "words": said or words, "reference": number}
        return flask.make_response(flask.jsonify(told), code)
    page = flask.render_template("refused.html", title=title, words=said or words, number=number)
    return flask.make_response(page, code)


def tell_faults(server: flask.Flask) -> None:
    """Answer every fault of a server with plain words."""

    def _known(error: HTTPException) -> Any:
        if error.code is None or error.code < 400:
            return error
        return refusal_page(error.code)

    def _unknown(error: Exception) -> Any:
        number = reference()
        _log.error("An answer could not be given, reference %s", number, exc_info=error)
        return refusal_page(500, number=number)

    server.register_error_handler(HTTPException, _known)
    server.register_error_handler(Exception, _unknown)
