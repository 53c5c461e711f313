"""A line to a PostgreSQL server that breaks on demand: a relay on loopback between the driver and the server.

Everything on both sides is what people run. The relay passes bytes on until the driver has sent a chosen number of
messages, then cuts both ends, either before or after the last of them has reached the server. Cut afterwards, the
server has done what it was told and nobody hears of it.
"""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import sqlalchemy as sa

__all__ = ["Line", "broken_line"]


@dataclass
class Line:
    """The relay: its address, messages that the driver has sent since it was last mended, and where it breaks."""

    address: str = ""
    at: int = 0
    delivered: bool = False
    sent: int = 0
    cuts: int = 0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def mended(self) -> Line:
        """Pass everything on from now on, and count anew."""
        self.at = self.sent = self.cuts = 0
        return self

    def breaking(self, at: int, *, delivered: bool) -> Line:
        """Break at that message of the driver, before or after it is delivered."""
        self.mended()
        self.at, self.delivered = at, delivered
        return self

    def _cuts_now(self) -> bool:
        with self._lock:
            self.sent += 1
            now = bool(self.at) and self.sent >= self.at
            self.cuts += now
            return now


@contextmanager
def broken_line(server: str) -> Iterator[Line]:
    """A relay to a server that is reached by a socket in a folder.

    Parameters
    ----------
    server : str
        Its address, with the folder as `host`.
    """
    url = sa.make_url(server)
    folder = str(url.query.get("host") or url.host)
    line = Line()
    with socket.create_server(("127.0.0.1", 0)) as ear:
        port = ear.getsockname()[1]
        line.address = url.set(host="127.0.0.1", port=port, query={}).render_as_string(hide_password=False)
        threading.Thread(target=_answer, args=(ear, f"{folder}/.s.PGSQL.{url.port or 5432}", line), daemon=True).start()
        yield line


def _answer(ear: socket.socket, place: str, line: Line) -> None:
    while True:
        try:
            driver, _ = ear.accept()
            server = socket.socket(socket.AF_UNIX)
            server.connect(place)
        except OSError:  # the test is over
            return
        for source, goal, counted in ((driver, server, True), (server, driver, False)):
            threading.Thread(target=_pass_on, args=(source, goal, line, counted), daemon=True).start()


def _pass_on(source: socket.socket, goal: socket.socket, line: Line, counted: bool) -> None:
    with contextlib.suppress(OSError):
        while message := source.recv(65_536):
            cut = counted and line._cuts_now()
            if not cut or line.delivered:
                goal.sendall(message)
            if cut:
                break
    for end in (source, goal):
        with contextlib.suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        end.close()
