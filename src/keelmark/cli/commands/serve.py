"""`keelmark serve`: the pages, on this machine only until there are accounts."""

from __future__ import annotations

from typing import Annotated

import typer

from keelmark.cli.options import Database, OwnMovements

__all__ = ["open_pages", "serve"]


def serve(
    db: Database = None,
    movements: OwnMovements = None,
    port: Annotated[int, typer.Option(help="Port; 0 picks a free one.")] = 8765,
    host: Annotated[
        str, typer.Option(help="Address of this machine to answer at; others than its own loopback need accounts.")
    ] = "127.0.0.1",
    behind: Annotated[
        str | None,
        typer.Option(
            metavar="URL", help="Address of a proxy with TLS on this machine, by which people reach the pages."
        ),
    ] = None,
    browser: Annotated[bool, typer.Option(help="Open the pages in the browser.")] = True,
) -> None:
    """Show the squad's pages in the browser."""
    from keelmark.service import Squad

    with Squad.open(db, own_movements=movements or ()) as squad:
        open_pages(squad, port=port, browser=browser, host=host, behind=behind)


def open_pages(squad: object, *, port: int, browser: bool, host: str = "127.0.0.1", behind: str | None = None) -> None:
    """Serve until interrupted; print the address and who can reach it first."""
    import webbrowser

    from keelmark.cli.event_log import begin_log
    from keelmark_dash.serve import bind, reach, serve_forever

    log = begin_log()
    server, address = bind(squad, port=port, host=host, behind=behind)
    typer.echo(f"keelmark is at {address}  ({reach(squad, host, behind)}; Ctrl+C ends it)")
    typer.echo(f"What goes wrong or takes long is kept, with nobody's data, in {log}")
    if browser:
        webbrowser.open(address)
    serve_forever(server)
