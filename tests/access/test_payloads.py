"""Values that no page sends are refused before a callback sees them, in words that say which."""

from __future__ import annotations

from typing import Any

import pytest
from dash import Dash

from keelmark_dash import create_app
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.access.payloads import BY_COMPONENT, NEVER_EMPTY, component_name, kind_of, misfit
from keelmark_dash.access.value_kinds import DAY, NUMBER, UPLOAD, WEEK
from tests.faults.doors import crew
from tests.faults.web import _answered, _asked


def test_every_value_of_every_callback_is_of_a_known_kind_and_nothing_else_is_listed(app: Dash) -> None:
    app.server.test_client().get("/_dash-dependencies")
    asked = {
        (component_name(spec["id"]), spec["property"])
        for held in app.callback_map.values()
        if held.get("callback")
        for spec in (*held["inputs"], *held["state"])
    }
    assert [one for one in asked if kind_of(*one) is None] == []
    assert set(BY_COMPONENT) | NEVER_EMPTY <= {f"{component}.{prop}" for component, prop in asked}


@pytest.mark.parametrize(
    ("kind", "fits", "not_fits"),
    [
        (DAY, ["", "2026-03-02", "2026-03-02T00:00:00"], ["x", "2026-02-30", "9999-12-31", 5, ["2026-03-02"]]),
        (WEEK, ["2026-W10", "planned"], ["2026-W99", "W10", "0000-W01", 10]),
        (NUMBER, [1, 2.5, "2.5", ""], ["x", "nan", "1e999", float("inf"), True, 10**400, [1]]),
        (
            UPLOAD,
            ["data:text/csv;base64,ZGF0ZQ==", "data:;base64,"],
            ["x", "data:text/csv;base64,!!!!", "data:,abc", 5],
        ),
    ],
)
def test_kinds_hold_what_they_say(kind: Any, fits: list[Any], not_fits: list[Any]) -> None:
    assert [value for value in fits if not kind.holds(value)] == []
    assert [value for value in not_fits if kind.holds(value)] == []


def test_a_misfit_is_told_by_its_field_and_never_repeated() -> None:
    with crew() as squad:
        app = create_app(squad)
        client = app.server.test_client()
        output = next(one for one in _answered(app, client) if callback_names(app)[one] == "parts.rights:_archive")
        question = _asked(app, output, lambda: 1)
        said = misfit(question, app.callback_map[output])
        assert said == "athlete-rights-whose holds a number that does not fit. Wanted: names with a text each: athlete."
        answer = client.post("/_dash-update-component", json=question)
        assert answer.status_code == 400
        assert "Load the page again" in answer.get_json()["words"]
        question["state"][0]["value"] = {"athlete": ["Aled", "x" * 9]}
        assert "Aled" not in str(misfit(question, app.callback_map[output]))
        assert misfit({**question, "state": []}, app.callback_map[output]) == "Its state are not those of this page."
