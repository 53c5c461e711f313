"""`keelmark serve`: the pages, on this machine only."""

from __future__ import annotations

from typing import Annotated

import typer

from keelmark.cli.options import Database, OwnMovements

__all__ = ["open_pages", "serve"]


def serve(
    db: Database = None,
    movements: OwnMovements = None,
    port: Annotated[int, typer.Option(help="Port on this machine; 0 picks a free one.")] = 8765,
    browser: Annotated[bool, typer.Option(help="Open the pages in the browser.")] = True,
) -> None:
    """Show the squad's pages in the browser, served from this machine to this machine."""
    from keelmark.service import Squad

    with Squad.open(db, own_movements=movements or ()) as squad:
        open_pages(squad, port=port, browser=browser)


def open_pages(squad: object, *, port: int, browser: bool) -> None:
    """Serve until interrupted; print the address first."""
    import webbrowser

    from keelmark_dash.serve import bind, serve_forever

    server, address = bind(squad, port=port)
    typer.echo(f"keelmark is at {address}  (only this machine can reach it; Ctrl+C ends it)")
    if browser:
        webbrowser.open(address)
    serve_forever(server)
