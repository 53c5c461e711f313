# ruff: noqa: E501 (tables of cases are read across)
"""Addresses and questions that a browser might send to the pages, by mistake or on purpose."""

from __future__ import annotations

import json
import random
from typing import Any
from urllib.parse import quote

from dash import Dash
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from keelmark.contracts.errors import RefusedInput
from keelmark_dash import create_app, ids
from tests.faults.doors import crew
from tests.faults.hostile import FIGURES, SIGNS
from tests.faults.tally import Case, Tally

__all__ = ["addresses", "questions"]

PATHS = ("/", "/athlete", "/programme", "/log", "/check-ins", "/methods", "/settings", "/care", "/health")
PARTS = ("week", "channel", "group", "athlete", "weeks", "rows", "show", "x")
_ASK = "/_dash-update-component"
VALUES: tuple[Any, ...] = (
    None, True, -1, 0, 10**400, 1.5e308, "", "x", "²", "\u202e", "a" * 50_000, [], {}, [None], {"a": 1}, [[]], "0001-01-01",
    "9999-12-31", "2026-W99", {"athlete": "nobody", "week": "x"}, {"athlete": 5}, ["nobody"], "data:text/csv;base64,!!!!",
    "data:text/csv;base64," + "QUJD" * 2_000, "?athlete=nobody&rows=²", "nan", "<script>", '{"index":1}',
)  # fmt: skip


def _wrong(answer: Any) -> str | None:
    """A page may refuse in words or with a 4xx; a 5xx, or a look at the inside, is a fault."""
    if not isinstance(answer, TestResponse):
        return None if isinstance(answer, RefusedInput) else f"no answer but {answer!r}"
    text = answer.get_data(as_text=True)
    if answer.status_code >= 500:
        return f"answered with {answer.status_code}: {text[:80]}"
    if "Traceback" in text or "site-packages" in text:
        return "shows the inside"
    return None


def _answer(client: FlaskClient, **asked: Any) -> TestResponse:
    """What the pages answer; a refusal in words or with a 4xx counts as one."""
    answer = client.open(**asked)
    told = "something went wrong inside keelmark. Its log says what" in answer.get_data(as_text=True)
    if 400 <= answer.status_code < 500 or told:
        if fault := _wrong(answer):
            raise AssertionError(fault)
        raise RefusedInput(f"{answer.status_code}", where="pages", wanted="a question of the pages", remedy="none")
    return answer


def addresses(*, full: bool) -> Tally:
    """Every page at odd addresses."""
    tally = Tally("addresses")
    odd = [text[:400] for text in (*SIGNS, *FIGURES)]
    with crew() as opened:
        app = create_app(opened)
        client = app.server.test_client()
        for number, text in enumerate(odd if full else odd[::9]):
            told = quote(text.encode("utf-8", "replace"))
            for path in (*PATHS, "/" + told):
                tally.add(Case(f"{path} {text[:20]!a}", lambda path=path: _answer(client, path=path), check=_wrong))
            for part in PARTS:
                for path in PATHS[number % 3 : 7 : 3]:
                    asked = _show(path, f"?{part}={told}&{part}=1")
                    do = lambda asked=asked: _answer(client, path=_ASK, method="POST", json=asked)  # noqa: E731
                    tally.add(Case(f"{path} with {part}={text[:20]!a}", do, check=_wrong))
    return tally


def _show(path: str, search: str) -> dict[str, Any]:
    def held(name: str, prop: str, value: Any) -> dict[str, Any]:
        return {"id": name, "property": prop, "value": value}

    outputs = ((ids.PAGE, "children"), (ids.SAID, "children"), (ids.MENU, "children"), (ids.SHOWN, "data"))
    return {
        "output": ".." + "...".join(f"{name}.{prop}" for name, prop in outputs) + "..",
        "outputs": [{"id": name, "property": prop} for name, prop in outputs],
        "inputs": [
            held(ids.ADDRESS, "pathname", path),
            held(ids.ADDRESS, "search", search),
            held(ids.WRITTEN, "data", None),
        ],
        "state": [held(ids.SHOWN, "data", None)],
        "changedPropIds": [f"{ids.ADDRESS}.search"],
    }


def questions(*, full: bool) -> Tally:
    """Every callback with values of the wrong kind, and bodies that are no question at all."""
    tally = Tally("questions to the pages")
    draw = random.Random(11)
    with crew() as opened:
        app = create_app(opened)
        client = app.server.test_client()
        for body in (
            b"",
            b"x",
            b"[" * 100_000,
            b"null",
            b"[]",
            b"5",
            b'{"output": 5}',
            b'{"output": ["a"]}',
            b"\xff\xfe",
        ):
            do = lambda body=body: _answer(client, path=_ASK, method="POST", data=body, content_type="application/json")  # noqa: E731
            tally.add(Case(f"the body {body[:20]!a}", do, check=_wrong))
        for output in _answered(app, client):
            for value in VALUES if full else draw.sample(VALUES, 4):
                asked = _asked(app, output, lambda value=value: value)
                tally.add(Case(_named(output, value), _posting(client, asked), check=_wrong))
            for _ in range(12 if full else 1):
                asked = _asked(app, output, lambda: draw.choice(VALUES))
                tally.add(Case(_named(output, "mixed"), _posting(client, asked), check=_wrong))
    return tally


def _answered(app: Dash, client: FlaskClient) -> list[str]:
    client.get("/_dash-layout")
    client.get("/_dash-dependencies")
    return [output for output, held in app.callback_map.items() if held.get("callback")]


def _posting(client: FlaskClient, asked: dict[str, Any]) -> Any:
    content = json.dumps(asked, allow_nan=True)
    return lambda: _answer(client, path=_ASK, method="POST", data=content, content_type="application/json")


def _asked(app: Dash, output: str, value: Any) -> dict[str, Any]:
    """A question for one output, every value of it drawn."""
    held = app.callback_map[output]
    inputs = [_filled(one, value) for one in held["inputs"]]
    outputs = [
        {"id": _id(name), "property": prop}
        for name, _, prop in (part.rpartition(".") for part in output.strip(".").split("..."))
    ]
    first = inputs[0] if inputs else {}
    first = first[0] if isinstance(first, list) else first
    name = first.get("id")
    written = name if isinstance(name, str) else json.dumps(name, sort_keys=True, separators=(",", ":"))
    return {
        "output": output,
        "outputs": outputs if output.startswith("..") else outputs[0],
        "inputs": inputs,
        "state": [_filled(one, value) for one in held.get("state", [])],
        "changedPropIds": [f"{written}.{first.get('property')}"],
    }


def _filled(one: dict[str, Any], value: Any) -> Any:
    name = _id(one["id"])
    if isinstance(name, dict) and any(isinstance(part, list) for part in name.values()):
        name = {key: "none" if isinstance(part, list) else part for key, part in name.items()}
        return [{"id": name, "property": one["property"], "value": value()}]
    return {"id": name, "property": one["property"], "value": value()}


def _id(written: str) -> Any:
    return json.loads(written) if written.startswith("{") else written


def _named(output: str, value: Any) -> str:
    return f"{output[:70]} <- {ascii(value)[:30]}"
