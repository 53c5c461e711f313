"""Component libraries that only some pages need: fetched by the browser when it comes to such a page, not before."""

from __future__ import annotations

import json
from collections.abc import Sequence
from types import ModuleType
from typing import Any

import flask
from dash import Dash
from dash.development.base_component import ComponentRegistry

__all__ = ["LateLibraries"]

_ASKING = "/_dash-update-component"


class LateLibraries:
    """Keeps libraries out of the document, and adds them to the answer that brings their first component.

    Dash puts every library that was imported into the document. The answer of a callback may name further scripts,
    which the browser loads before it shows the answer; that is used here.

    Parameters
    ----------
    app : Dash
        The app, before its first answer.
    libraries : sequence of modules
        Packages of components that are kept out of the document.
    """

    def __init__(self, app: Dash, libraries: Sequence[ModuleType]) -> None:
        self._app = app
        self._scripts: dict[str, list[dict[str, str]]] = {}
        self._libraries = {library.__name__: library for library in libraries}
        for name in self._libraries:
            if name in ComponentRegistry.registry:  # an app made before has taken it out already
                ComponentRegistry.registry.discard(name)
        app.server.after_request(_name_scripts)

    def needed(self, names: Sequence[str], there: str) -> str:
        """Have this answer bring the libraries named that are not there yet.

        Parameters
        ----------
        names : sequence of str
            What is needed.
        there : str
            What the browser has, as this gave it before; empty for nothing.

        Returns
        -------
        str
            What the browser has then.
        """
        known = there.split()
        missing = [name for name in names if name not in known]
        flask.g.keelmark_scripts = [script for name in missing for script in self._of(name)]
        return " ".join([*known, *missing])

    def _of(self, name: str) -> list[dict[str, str]]:
        if name not in self._scripts:
            found = self._app._collect_and_register_resources(self._libraries[name]._js_dist, False)
            self._scripts[name] = [{"type": "_js_dist", "url": str(url)} for url in found]
        return self._scripts[name]


def _name_scripts(answer: flask.Response) -> flask.Response:
    scripts: list[Any] = flask.g.pop("keelmark_scripts", [])
    if scripts and flask.request.endpoint == _ASKING and answer.status_code == 200:
        said = answer.get_data(as_text=True)
        answer.set_data(f'{{"dist":{json.dumps(scripts)},{said[1:]}')
    return answer
