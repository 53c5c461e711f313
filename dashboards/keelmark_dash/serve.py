"""Serve the pages with a production server, to this machine only unless told otherwise."""

from __future__ import annotations

from typing import Any

import waitress

from keelmark_dash.app import create_app

__all__ = ["serve"]


def serve(squad: Any, host: str = "127.0.0.1", port: int = 8050, *, threads: int = 8) -> None:
    """Serve until stopped.

    Parameters
    ----------
    squad : Squad
        An open service.
    host, port : str, int
        Where to listen.
    threads : int
        How many requests are answered at once.
    """
    waitress.serve(create_app(squad).server, host=host, port=port, threads=threads, ident="keelmark")
