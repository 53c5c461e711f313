"""A browser without a window that asks the pages over the network: it keeps cookies, and sends the token back."""

from __future__ import annotations

import http.client
import json
import re
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import urlencode

__all__ = ["Browser"]

_TOKEN = "_csrf_token"


class Browser:
    """One visitor of a server at an address such as `127.0.0.1:8050`."""

    def __init__(self, home: str) -> None:
        self._home = home
        self._connection = http.client.HTTPConnection(home, timeout=60)
        self._cookies: dict[str, str] = {}

    def sign_in(self, name: str, password: str) -> str | None:
        """Fill in the form; gives what went wrong."""
        status, page = self._send("GET", "/sign-in")
        found = re.search(r'name="csrf_token" value="([^"]+)"', page.decode("utf-8", "replace"))
        if found is None:
            return f"{status}: no form to sign in by"
        form = urlencode({"csrf_token": found.group(1), "name": name, "password": password})
        status, page = self._send("POST", "/sign-in", form, "application/x-www-form-urlencoded")
        if status != 303:
            return f"{status}: {page[:120]!r}"
        status, page = self._send("GET", "/methods")
        return None if status == 200 and _TOKEN in self._cookies else f"{status}: no token came with the page"

    def ask(self, question: dict[str, Any]) -> str | None:
        """Put a question to a callback; gives what went wrong."""
        try:
            status, text = self._send("POST", "/_dash-update-component", json.dumps(question), "application/json")
        except (OSError, http.client.HTTPException) as error:
            self._connection.close()
            return f"{type(error).__name__}: {error}"
        if status >= 400 or b"something went wrong" in text:
            return f"{status}: {text[:120]!r}"
        return None

    def close(self) -> None:
        """End the connection."""
        self._connection.close()

    def _send(self, method: str, path: str, body: str | None = None, kind: str = "") -> tuple[int, bytes]:
        headers = {"Content-Type": kind} if kind else {}
        if self._cookies:
            headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        if _TOKEN in self._cookies:
            headers["X-CSRFToken"] = self._cookies[_TOKEN]
        self._connection.request(method, path, body, headers)
        answer = self._connection.getresponse()
        text = answer.read()
        for line in answer.headers.get_all("Set-Cookie", []):
            for name, held in SimpleCookie(line).items():
                self._cookies[name] = held.value
        return answer.status, text
