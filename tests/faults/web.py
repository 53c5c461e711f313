# ruff: noqa: E501 (tables of cases are read across)
"""Addresses and questions that a browser might send to the pages, by mistake or on purpose."""

from __future__ import annotations

import json
import random
from typing import Any
from urllib.parse import quote

from dash import Dash
from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from keelmark.contracts.channels import OPPOSING_CHANNELS
from keelmark.contracts.errors import RefusedInput
from keelmark_dash import create_app, ids
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.access.payloads import KEYS, component_name, kind_of
from tests.faults.doors import crew
from tests.faults.hostile import FIGURES, SIGNS
from tests.faults.tally import Case, Ending, Tally

__all__ = ["addresses", "drawn_questions", "questions"]

PATHS = ("/", "/athlete", "/programme", "/log", "/check-ins", "/methods", "/settings", "/care", "/health")
PARTS = ("week", "channel", "group", "athlete", "weeks", "rows", "show", "x")
_ASK = "/_dash-update-component"
VALUES: tuple[Any, ...] = (
    None, True, -1, 0, 10**400, 1.5e308, "", "x", "²", "\u202e", "a" * 50_000, [], {}, [None], {"a": 1}, [[]], "0001-01-01",
    "9999-12-31", "2026-W99", {"athlete": "nobody", "week": "x"}, {"athlete": 5}, ["nobody"], "data:text/csv;base64,!!!!",
    "data:text/csv;base64," + "QUJD" * 2_000, "?athlete=nobody&rows=²", "nan", "<script>", '{"index":1}',
)  # fmt: skip
FITTING: tuple[Any, ...] = (
    *VALUES, 2, 3.5, "0", "3", "12.5", "aled", "bridie", "strength", "deadlift", "grip_s", "tonnage", "inshore", "A", "planned",
    "2025-W36", "1900-W01", "2199-W52", "2025-09-01", "1900-01-01", "2199-12-31", "5 x 5 back squat 100 kg", "AMRAP 12: 5 deadlift",
    "Monday 1 September 2025\n21-15-9 thrusters 40 kg, pull-ups", "load", "complaints", False, ["aled", "bridie"], ["0", "6"],
    ["1"] * 7, ["1"] * len(OPPOSING_CHANNELS), [["aled", "2025-09-04", "rest"]], [["aled", "2025-09-04", "no such state"]], [["nobody", "2025-09-04", "rest"]],
    {"athlete": "aled", "week": "2025-W36", "channel": "session_load"}, {"athlete": "nobody", "week": "x", "channel": "x"},
    {"athlete": "aled", "week": "2025-W36", "channel": "lumbar_moment", "squad": True}, {"said": "Saved."},
    {"path": "/", "search": "", "address": {"week": "2025-W36"}, "defaults": {}}, {"path": "/x", "address": {"x": "y"}},
    {"startRow": 0, "endRow": 20, "filterModel": {}}, {"startRow": 9, "endRow": 2, "filterModel": {"name": {"filter": "squ"}}},
    {"A": {"x": "5 deadlift 80 kg"}}, "data:text/csv;base64,ZGF0ZSxuYW1lCg==", "data:;base64,", "clash-0-0", "pair-9-9",
    "aled|lumbosacral|2025-09-01|2025-W36", "nobody|x|9999-99-99|2025-W99", "0:tonnage", "none", "1",
)  # fmt: skip
"""Values of which some fit every field."""


def _wrong(answer: Any) -> str | None:
    """A page may refuse in words or with a 4xx; a 5xx, a fault inside, or a look at the inside, is a fault."""
    if not isinstance(answer, TestResponse):
        return None if isinstance(answer, RefusedInput) else f"no answer but {answer!r}"
    text = answer.get_data(as_text=True)
    if answer.status_code >= 500:
        return f"answered with {answer.status_code}: {text[:80]}"
    if "Traceback" in text or "site-packages" in text:
        return "shows the inside"
    if "something went wrong inside keelmark" in text:
        return "failed inside"
    return None


def _answer(client: FlaskClient, **asked: Any) -> TestResponse:
    """What the pages answer; a refusal with a 4xx counts as one."""
    answer = client.open(**asked)
    if 400 <= answer.status_code < 500:
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


def drawn_questions(*, full: bool) -> Tally:
    """Every callback with values drawn by Hypothesis: all fit but at most one; a fault is made small and told."""
    tally = Tally("drawn: questions to the pages")
    with crew() as opened:
        app = create_app(opened)
        client = app.server.test_client()
        for output in _answered(app, client):
            if fault := _drawn(tally, app, client, output, examples=150 if full else 5):
                tally.wrong.append(f"{callback_names(app)[output]}: {fault}")
    return tally


def _drawn(tally: Tally, app: Dash, client: FlaskClient, output: str, *, examples: int) -> str | None:
    @settings(max_examples=examples, database=None, derandomize=True, deadline=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(data=st.data())
    def _try(data: st.DataObject) -> None:
        asked = _asked(app, output, None, draw=lambda spec: _drawn_value(data, spec))
        wrong = len(tally.wrong)
        ending = tally.add(Case(ascii(asked)[:300], _posting(client, asked), check=_wrong))
        told = tally.wrong[wrong:]
        del tally.wrong[wrong:]
        assert ending in (Ending.REFUSED, Ending.TAKEN), told

    try:
        _try()
    except AssertionError as error:
        return str(error)
    return None


def _drawn_value(data: st.DataObject, spec: dict[str, str]) -> Any:
    """A value that fits a field; seldom anything else that JSON can say."""
    kind = kind_of(component_name(spec["id"]), spec["property"])
    if kind is None or data.draw(st.integers(0, 19)) == 0:
        return data.draw(
            st.sampled_from(VALUES) | st.recursive(st.none() | st.text(max_size=9), st.lists, max_leaves=4)
        )
    return data.draw(st.sampled_from([value for value in FITTING if kind.holds(value)]))


def _answered(app: Dash, client: FlaskClient) -> list[str]:
    client.get("/_dash-layout")
    client.get("/_dash-dependencies")
    return [output for output, held in app.callback_map.items() if held.get("callback")]


def _posting(client: FlaskClient, asked: dict[str, Any]) -> Any:
    content = json.dumps(asked, allow_nan=True)
    return lambda: _answer(client, path=_ASK, method="POST", data=content, content_type="application/json")


def _asked(app: Dash, output: str, value: Any, draw: Any = None) -> dict[str, Any]:
    """A question for one output, every value of it drawn: by `value` for all alike, or by `draw` for each field."""
    held = app.callback_map[output]
    drawn = draw or (lambda _spec: value())
    inputs = [_filled(one, drawn) for one in held["inputs"]]
    outputs = [
        {"id": _id(name), "property": prop}
        for name, _, prop in (part.rpartition(".") for part in output.strip(".").split("..."))
    ]
    first = next((one[0] if isinstance(one, list) else one for one in inputs if one), {"id": "none", "property": "n"})
    name = first["id"]
    written = name if isinstance(name, str) else json.dumps(name, sort_keys=True, separators=(",", ":"))
    return {
        "output": output,
        "outputs": outputs if output.startswith("..") else outputs[0],
        "inputs": inputs,
        "state": [_filled(one, drawn) for one in held.get("state", [])],
        "changedPropIds": [f"{written}.{first['property']}"],
    }


def _filled(one: dict[str, Any], drawn: Any) -> Any:
    name = _id(one["id"])
    if not isinstance(name, dict):
        return {"id": name, "property": one["property"], "value": drawn(one)}
    many = ["ALL"] in name.values()
    keys = KEYS.get(component_name(one["id"]))
    key = "none" if keys is None else next(value for value in FITTING if isinstance(value, str) and keys.holds(value))
    name = {part: key if isinstance(held, list) else held for part, held in name.items()}
    if not many:
        return {"id": name, "property": one["property"], "value": drawn(one)}
    value = drawn(one)
    values = value if isinstance(value, list) else [value]
    if one["property"] == "id":
        values = [name for _ in values]
    return [{"id": name, "property": one["property"], "value": held} for held in values]


def _id(written: str) -> Any:
    return json.loads(written) if written.startswith("{") else written


def _named(output: str, value: Any) -> str:
    return f"{output[:70]} <- {ascii(value)[:30]}"
