"""Serve the pages with a production server, to this machine only."""

from __future__ import annotations

import contextlib
from typing import Any

import waitress
from waitress.server import BaseWSGIServer, MultiSocketServer

from keelmark.contracts.errors import SettingError
from keelmark_dash.app import create_app

__all__ = ["bind", "serve_forever"]

Server = BaseWSGIServer | MultiSocketServer
LOOPBACK = "127.0.0.1"


def bind(squad: Any, *, port: int = 0, threads: int = 8) -> tuple[Server, str]:
    """Take a port of this machine for the pages of a squad.

    Parameters
    ----------
    squad : Squad
        An open service.
    port : int
        Port on the loopback address; 0 takes a free one.
    threads : int
        How many requests are answered at once.

    Returns
    -------
    server, address : server, str
        The server, not yet answering, and where it will be found.

    Raises
    ------
    SettingError
        When the port cannot be had.
    """
    try:
        server = waitress.create_server(
            create_app(squad).server, host=LOOPBACK, port=port, threads=threads, ident="keelmark"
        )
    except (OSError, OverflowError) as error:
        raise SettingError(
            f"port {port} cannot be used ({error})",
            where="option --port",
            wanted="a free port of this machine, from 1024 to 65535, or 0 for any free one",
            remedy="choose another port, or end the program that uses this one",
        ) from error
    return server, f"http://{LOOPBACK}:{server.effective_port}/"


def serve_forever(server: Server) -> None:
    """Answer until interrupted."""
    with contextlib.suppress(KeyboardInterrupt):
        server.run()
    server.close()
