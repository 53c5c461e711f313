"""How answers travel: compressed, libraries compressed well once, and kept by the browser while they do not change."""

from __future__ import annotations

from functools import lru_cache

import brotli
import flask
from flask_compress import Compress

__all__ = ["deliver"]

_LIBRARIES = "/_dash-component-suites/"
_TYPES = [
    "text/html", "text/css", "application/json", "application/javascript", "text/javascript", "image/svg+xml",
]  # fmt: skip
_DAY, _YEAR = 86_400, 31_536_000


def deliver(server: flask.Flask) -> None:
    """Set up compression and keeping for a server."""
    server.config["COMPRESS_MIMETYPES"] = _TYPES
    server.config["COMPRESS_LEVEL"] = 3  # for the few that know neither zstd nor br: half the time, a quarter larger
    server.after_request(_keep)
    Compress(server)
    server.after_request(_pack)


def _pack(answer: flask.Response) -> flask.Response:
    """Libraries and style sheets travel as small as they can be made; anything else is packed anew each time."""
    request = flask.request
    packed = request.path.startswith((_LIBRARIES, "/assets/")) and answer.mimetype in _TYPES
    if packed and answer.status_code == 200 and request.accept_encodings.best_match(["br"]):
        answer.direct_passthrough = False
        answer.set_data(_smallest(answer.get_data()))
        answer.headers["Content-Encoding"] = "br"
        answer.headers.add("Vary", "Accept-Encoding")
    return answer


@lru_cache(maxsize=96)
def _smallest(content: bytes) -> bytes:
    packed: bytes = brotli.compress(content, mode=brotli.MODE_TEXT, quality=9)
    return packed


def _keep(answer: flask.Response) -> flask.Response:
    path, stamped = flask.request.path, "m" in flask.request.args
    if answer.status_code == 200 and path.startswith("/assets/"):
        answer.headers["Cache-Control"] = f"max-age={_YEAR if stamped else _DAY}"
    elif answer.status_code == 200 and path.startswith(_LIBRARIES):
        answer.headers.setdefault("Cache-Control", f"max-age={_DAY}")
    return answer
