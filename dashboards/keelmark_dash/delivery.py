"""How answers travel: compressed, libraries compressed once, and kept by the browser as long as they do not change."""

from __future__ import annotations

from typing import Any

import flask
from flask_compress import Compress

__all__ = ["deliver"]

_LIBRARIES = "/_dash-component-suites/"
_TYPES = [
    "text/html", "text/css", "application/json", "application/javascript", "text/javascript", "image/svg+xml",
]  # fmt: skip
_DAY, _YEAR = 86_400, 31_536_000


class _LibrariesOnly:
    """Keeps compressed libraries in memory. Anything else is made anew for each request and is never kept."""

    def __init__(self) -> None:
        self._kept: dict[str, Any] = {}

    def get(self, key: str) -> Any:
        return self._kept.get(key)

    def set(self, key: str, content: Any) -> None:
        if _LIBRARIES in key:
            self._kept[key] = content


def deliver(server: flask.Flask) -> None:
    """Set up compression and keeping for a server."""
    server.config["COMPRESS_MIMETYPES"] = _TYPES
    server.config["COMPRESS_CACHE_BACKEND"] = _LibrariesOnly
    server.config["COMPRESS_CACHE_KEY"] = lambda request: request.full_path
    server.after_request(_keep)
    Compress(server)


def _keep(answer: flask.Response) -> flask.Response:
    path, stamped = flask.request.path, "m" in flask.request.args
    if answer.status_code == 200 and path.startswith("/assets/"):
        answer.headers["Cache-Control"] = f"max-age={_YEAR if stamped else _DAY}"
    elif answer.status_code == 200 and path.startswith(_LIBRARIES):
        answer.headers.setdefault("Cache-Control", f"max-age={_DAY}")
    return answer
