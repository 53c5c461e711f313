"""What stands on every answer: what the browser may load and run, who may frame it, and what it tells others."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterable
from functools import cache

import flask

__all__ = ["guard_answers", "script_hash"]

_PLAIN = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
_KEPT_BY_BROWSER = ("/assets/", "/_dash-component-suites/", "/_favicon.ico")
_YEAR = 31_536_000


def script_hash(script: str) -> str:
    """A script that stands in the document itself, as a content security policy names it."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def guard_answers(server: flask.Flask, scripts: Callable[[], Iterable[str]], *, secure: bool) -> None:
    """Put the headers on every answer of a server.

    Styles may stand in the document: the component library, the grid and the chart library write their own at run
    time and take no nonce. Scripts may not, but for those whose hashes are handed over.

    Parameters
    ----------
    scripts : function
        Gives the hashes of the scripts that stand in the document; asked when the first answer goes out.
    secure : bool
        Whether people reach the server by TLS.
    """
    policy = cache(lambda: _policy(scripts()))

    def _guard(answer: flask.Response) -> flask.Response:
        answer.headers.update(_PLAIN)
        answer.headers["Content-Security-Policy"] = policy()
        if not flask.request.path.startswith(_KEPT_BY_BROWSER):
            answer.headers.setdefault("Cache-Control", "no-store")
        if secure:
            answer.headers["Strict-Transport-Security"] = f"max-age={_YEAR}; includeSubDomains"
        return answer

    server.after_request(_guard)


def _policy(scripts: Iterable[str]) -> str:
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' {' '.join(scripts)}",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "connect-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
            "object-src 'none'",
        )
    )
