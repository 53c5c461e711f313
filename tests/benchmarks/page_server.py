"""The pages of a squad in a process of their own, behind the server that ships; each answer says how long it took."""

from __future__ import annotations

import contextlib
import http.client
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from pathlib import Path
from urllib.parse import urlencode

import psutil

__all__ = ["PASSWORD", "Served", "Visitor", "serve_large"]

PASSWORD = "nine wet boots by the door"
_SERVE = """
import sys, time
from keelmark.service import Squad
from keelmark_dash import serve
from keelmark_dash.access import gate, pace
import waitress.server

def timed(application):
    def answer(environ, start):
        wall, own = time.perf_counter(), time.thread_time()
        def begin(status, headers, *more):
            took = (1000 * (time.perf_counter() - wall), 1000 * (time.thread_time() - own))
            return start(status, [*headers, ("Server-Timing", "wall;dur=%.2f, own;dur=%.2f" % took)], *more)
        return application(environ, begin)
    return answer

gate.Paces = lambda: pace.Paces(times=1_000)  # a benchmark asks faster than people
make = serve.create_app
def create(*given, **named):
    app = make(*given, **named)
    app.server.wsgi_app = timed(app.server.wsgi_app)
    return app
serve.create_app = create
with Squad.open(sys.argv[1]) as squad:
    server, address = serve.bind(squad)
    print(address, flush=True)
    serve.serve_forever(server)
"""


@dataclass
class Served:
    """Where the pages are, and how long it took in seconds until they answered and until the first figures stood."""

    home: str
    process: psutil.Process
    ready_s: float = 0.0
    figures_s: float = 0.0


@dataclass
class Answer:
    """What came back: milliseconds on the server by the clock and by its own processor time, and as the visitor saw."""

    status: int
    body: bytes
    wall: float
    own: float
    seen: float


@dataclass
class Visitor:
    """Somebody with a session of their own and one connection."""

    home: str
    cookies: dict[str, str] = field(default_factory=dict)
    connection: http.client.HTTPConnection | None = None

    def sign_in(self, name: str) -> Visitor:
        """Come in through the form."""
        self.ask("GET", "/sign-in")
        form = {"csrf_token": self._form_token(), "name": name, "password": PASSWORD}
        answer = self.ask("POST", "/sign-in", urlencode(form).encode(), "application/x-www-form-urlencoded")
        if answer.status != 303:
            raise RuntimeError(f"{name} cannot sign in: {answer.status}")
        self.ask("GET", "/care")
        return self

    def _form_token(self) -> str:
        page = self.ask("GET", "/sign-in").body.decode()
        return page.split('name="csrf_token" value="')[1].split('"')[0]

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = "application/json") -> Answer:
        """Put one request on the connection."""
        if self.connection is None:
            self.connection = http.client.HTTPConnection(self.home, timeout=600)
        asks = kind == "application/json" and method == "POST"
        headers = {
            "Cookie": "; ".join(f"{key}={value}" for key, value in self.cookies.items()),
            "Accept-Encoding": "gzip, deflate, br, zstd" if asks else "identity",  # as browsers on this machine say
        }
        if body is not None:
            headers |= {"Content-Type": kind, "X-CSRFToken": self.cookies.get("_csrf_token", "")}
        began = time.perf_counter()
        self.connection.request(method, path, body, headers)
        answer = self.connection.getresponse()
        content = answer.read()
        seen = 1000 * (time.perf_counter() - began)
        for told in answer.headers.get_all("Set-Cookie") or []:
            self.cookies |= {key: one.value for key, one in SimpleCookie(told).items()}
        timing = dict(part.split(";dur=") for part in (answer.headers.get("Server-Timing") or "").split(", ") if part)
        return Answer(answer.status, content, float(timing.get("wall", 0)), float(timing.get("own", 0)), seen)


@contextlib.contextmanager
def serve_large(store: Path) -> Iterator[Served]:
    """Serve a store; comes back when the pages answer."""
    began = time.perf_counter()
    command = [sys.executable, "-c", _SERVE, f"sqlite:///{store}"]
    with (
        tempfile.TemporaryFile("w+") as said,
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=said, text=True) as process,
    ):
        assert process.stdout is not None
        home = process.stdout.readline().strip().removeprefix("http://").rstrip("/")
        if not home:
            said.seek(0)
            raise RuntimeError(f"the pages were not served: {said.read()[-2000:]}")
        served = Served(home, psutil.Process(process.pid))
        try:
            if Visitor(home).ask("GET", "/health").status != 200:
                raise RuntimeError("the pages do not answer")
            served.ready_s = time.perf_counter() - began
            yield served
        finally:
            process.terminate()
