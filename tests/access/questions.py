"""Questions as a browser would put them to the pages, made from Dash's own list of callbacks."""

from __future__ import annotations

import json
from typing import Any

from dash import Dash

from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.access.payloads import KEYS, NEVER_EMPTY, component_name, kind_of
from tests.faults.web import FITTING

__all__ = ["ask", "outputs_of", "question"]

OWN = {"athlete": "tove", "week": "2026-W23", "channel": "session_load", "squad": False}


def outputs_of(app: Dash) -> dict[str, str]:
    """The output of each callback that the server answers, by its name in the table."""
    return {name: output for output, name in callback_names(app).items()}


def question(app: Dash, output: str, value: Any = None) -> dict[str, Any]:
    """A question to a callback in which every input and state holds one value, or the first that fits it."""
    held = app.callback_map[output]
    outputs = held["output"] if isinstance(held["output"], (list, tuple)) else [held["output"]]
    return {
        "output": output,
        "outputs": [
            {"id": _plain(one.component_id), "property": one.component_property} for one in outputs
        ] if len(outputs) > 1 else {"id": _plain(outputs[0].component_id), "property": outputs[0].component_property},
        "inputs": [_part(one, value) for one in held["inputs"]],
        "state": [_part(one, value) for one in held["state"]],
        "changedPropIds": [f"{_text(held['inputs'][0]['id'])}.{held['inputs'][0]['property']}"],
    }  # fmt: skip


def ask(client: Any, asked: dict[str, Any]) -> Any:
    """Put a question with the token of the session."""
    cookie = client.get_cookie("_csrf_token")
    if cookie is None:
        client.get("/care")
        cookie = client.get_cookie("_csrf_token")
    headers = {"X-CSRFToken": cookie.value} if cookie is not None else {}
    return client.post("/_dash-update-component", json=asked, headers=headers)


def _part(one: dict[str, Any], value: Any) -> Any:
    name = json.loads(one["id"]) if one["id"].startswith("{") else one["id"]
    held = _fitting(one) if value is None else value
    if isinstance(name, dict) and ["ALL"] in name.values():
        values = held if isinstance(held, list) and value is None else [held]
        return [{"id": _plain(name), "property": one["property"], "value": each} for each in values]
    return {"id": _plain(name), "property": one["property"], "value": held}


def _fitting(one: dict[str, Any]) -> Any:
    """Nothing where a field may be empty, otherwise the first value that a page could send."""
    component = component_name(one["id"])
    kind, empty = kind_of(component, one["property"]), f"{component}.{one['property']}" not in NEVER_EMPTY
    if one["property"] == "id":
        return _plain(one["id"])
    if kind is None or (empty and kind.holds(None)):
        return None
    return next(held for held in (OWN, *FITTING) if held not in (None, []) and kind.holds(held))


def _plain(name: Any) -> Any:
    """A wildcard stands for something by the name of `one`."""
    if isinstance(name, str) and name.startswith("{"):
        name = json.loads(name)
    if not isinstance(name, dict):
        return name
    keys = KEYS.get(f"{name.get('page')}/{name.get('part')}")
    one = "one" if keys is None else next(held for held in FITTING if isinstance(held, str) and keys.holds(held))
    return {key: one if isinstance(held, list) or not isinstance(held, str) else held for key, held in name.items()}


def _text(name: str) -> str:
    return json.dumps(_plain(name), sort_keys=True, separators=(",", ":")) if name.startswith("{") else name
