"""Serve the pages with a production server: to this machine only, and farther once there are accounts."""

from __future__ import annotations

import contextlib
import gc
import ipaddress
import logging
import threading
from typing import Any
from urllib.parse import urlsplit
from weakref import WeakKeyDictionary

import waitress
from waitress.server import BaseWSGIServer, MultiSocketServer

from keelmark.contracts.errors import SettingError
from keelmark_dash.app import create_app
from keelmark_dash.desk import Desk

__all__ = ["bind", "reach", "serve_forever"]

Server = BaseWSGIServer | MultiSocketServer
LOOPBACK = "127.0.0.1"
_DESKS: WeakKeyDictionary[Server, Desk] = WeakKeyDictionary()
"""What stands behind each server that was bound."""
_log = logging.getLogger(__name__)


def bind(
    squad: Any, *, port: int = 0, threads: int = 8, host: str = LOOPBACK, behind: str | None = None
) -> tuple[Server, str]:
    """Take a port for the pages of a squad.

    Parameters
    ----------
    squad : Squad
        An open service.
    port : int
        Port of the address; 0 takes a free one.
    threads : int
        How many requests are answered at once.
    host : str
        Address of this machine. Any other than its loopback is refused while the squad has no accounts.
    behind : str, optional
        Address of a proxy with TLS on this machine, by which people reach the pages. It needs accounts as well.

    Returns
    -------
    server, address : server, str
        The server, not yet answering, and where it will be found.

    Raises
    ------
    SettingError
        When the port cannot be had, or others could reach the pages without an account.
    """
    if (behind or not is_loopback(host)) and not squad.accounts.exist:
        raise SettingError(
            "this squad has no accounts, so everybody who reaches the pages would see all",
            where="option --behind" if behind else "option --host",
            wanted=f"{LOOPBACK}, which only this machine can reach",
            remedy="make an owner first (keelmark accounts add NAME --role owner), or leave the option out",
        )
    if behind:
        _check_outside(behind)
    trusted: dict[str, Any] = {}
    if behind:
        trusted = {
            "trusted_proxy": LOOPBACK,
            "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto", "x-forwarded-host"},
            "clear_untrusted_proxy_headers": True,
        }
    application = create_app(squad, address=behind).server
    try:
        server = waitress.create_server(
            application,
            host=host,
            port=port,
            threads=threads,
            ident="keelmark",
            connection_limit=1_000,
            asyncore_use_poll=True,
            **trusted,
        )
    except (OSError, OverflowError, ValueError) as error:
        raise SettingError(
            f"port {port} of {host} cannot be used ({error})",
            where="option --port",
            wanted="a free port of this machine, from 1024 to 65535, or 0 for any free one",
            remedy="choose another port, or end the program that uses this one",
        ) from error
    _DESKS[server] = application.extensions["keelmark"]
    shown = f"[{host}]" if ":" in host else host
    return server, behind or f"http://{shown}:{server.effective_port}/"


def reach(squad: Any, host: str, behind: str | None) -> str:
    """Who can reach the pages, and what they need."""
    needed = "with an account" if squad.accounts.exist else "without an account, as there are none yet"
    if behind:
        return f"{needed}, through the proxy"
    if is_loopback(host):
        return f"only this machine can reach it, {needed}"
    return f"anybody on this network can reach it, {needed}; without TLS they can read along"


def is_loopback(host: str) -> bool:
    """Whether an address is one that only this machine can reach."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _check_outside(behind: str) -> None:
    parts = urlsplit(behind)
    if parts.scheme != "https" or not parts.netloc or parts.path.strip("/"):
        raise SettingError(
            f"{behind!r} is not the address of a proxy with TLS",
            where="option --behind",
            wanted="an address such as https:" + "//squad.example",
            remedy="write the address as people type it, without a path",
        )


def serve_forever(server: Server) -> None:
    """Answer until interrupted; meanwhile work out what the first visitor would wait for."""
    desk = _DESKS.get(server)
    if desk is not None:
        threading.Thread(target=_get_ready, args=(desk,), name="keelmark-ready", daemon=True).start()
    with contextlib.suppress(KeyboardInterrupt):
        server.run()
    server.close()


def _get_ready(desk: Desk) -> None:
    try:
        desk.get_ready()
        gc.freeze()  # the figures stay; looking through them for garbage again and again would hold answers up
    except Exception as error:  # whoever asks first is told in the page
        _log.warning("Figures could not be worked out ahead", exc_info=error)
