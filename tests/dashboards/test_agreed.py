"""What an athlete agrees to, on the athlete's page: what stands is told, and a press changes it at once."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from typing import Any

import pytest
from plotly.utils import PlotlyJSONEncoder

from keelmark.service import Squad
from keelmark.service.agreeing import ANSWERS, QUESTION
from keelmark.service.person import EVERYBODY_HERE, Person
from keelmark_dash import create_app, ids
from keelmark_dash.desk import Desk
from keelmark_dash.pages.hand_over_slip import STANDING
from keelmark_dash.parts.agreed import agreed_panel, who_agrees
from keelmark_dash.routing import visit
from tests.access.questions import ask, outputs_of, question
from tests.faults.doors import crew

ALED = Person("Aled", "athlete", "aled", key="account:1")


@pytest.fixture
def squad() -> Iterator[Squad]:
    """Two people with a week of work."""
    with crew() as opened:
        yield opened


def shown(squad: Squad, who: Person = EVERYBODY_HERE) -> str:
    """The panel of Aled as somebody sees it, as the browser is sent it."""
    here = visit(Desk(squad, lambda: who), "?athlete=aled")[0]
    return json.dumps(agreed_panel(here, "Aled"), cls=PlotlyJSONEncoder, ensure_ascii=False)


def buttons(told: str) -> list[str]:
    """Purpose and part of each button of the panel."""
    return [f"{part} {key}" for part in ("agree", "say-no") for key in (ANSWERS, QUESTION)
            if f'"part": "{part}", "key": "{key}"' in told]  # fmt: skip


def press(squad: Squad, part: str, purpose: str, athlete: str = "aled") -> dict[str, Any]:
    """What the page is told after a press."""
    app = create_app(squad)
    asked = question(app, outputs_of(app)[f"parts.agreed:_{part}"])
    asked["inputs"] = [[{"id": ids.each(ids.ATHLETE, part.replace("_", "-"), purpose), "property": "n_clicks",
                         "value": 1}]]  # fmt: skip
    asked["state"][0]["value"] = {"athlete": athlete}
    pattern = json.dumps(asked["inputs"][0][0]["id"], sort_keys=True, separators=(",", ":"))
    asked["changedPropIds"] = [f"{pattern}.n_clicks"]
    answer = ask(app.server.test_client(), asked)
    assert answer.status_code == 200, answer.get_data(as_text=True)
    told: dict[str, Any] = answer.get_json()["response"]
    return told


def test_a_yes_is_shown_with_its_day_and_taken_back_at_once(squad: Squad) -> None:
    before = shown(squad)
    assert before.count("Not asked so far.") == 2
    assert "Press a button only when Aled has said so." in before
    assert buttons(before) == ["agree answers", "agree question", "say-no answers", "say-no question"]
    assert press(squad, "agree", ANSWERS)["shell-written"]["data"]["said"] == "The yes is noted."
    today = f"{dt.date.today():%d %b %Y}"
    assert f"Agreed on {today} by Aled." in shown(squad)
    assert buttons(shown(squad)) == ["agree question", "say-no answers", "say-no question"]
    press(squad, "say_no", ANSWERS)
    assert f"Not agreed since {today}." in shown(squad)
    assert buttons(shown(squad)) == ["agree answers", "agree question", "say-no question"]


def test_the_guardian_of_somebody_under_age_is_named_and_agrees(squad: Squad) -> None:
    squad.note_guardian("aled", "Gwen", dt.date.today() + dt.timedelta(days=400))
    own = shown(squad, ALED)
    assert "Aled is under age: Gwen agrees for Aled, up to " in own
    assert "To say yes, Gwen tells a coach, who notes it here." in own
    assert buttons(own) == ["say-no answers", "say-no question"]
    assert "Press a button only when Gwen has said so." in shown(squad)
    press(squad, "agree", ANSWERS)
    assert squad.agreements("aled")[0].given_by == "Gwen"


def note(squad: Squad, name: str, until: str) -> dict[str, Any]:
    """What the page is told after a guardian was typed in."""
    app = create_app(squad)
    asked = question(app, outputs_of(app)["parts.agreed:_guardian"])
    asked["inputs"][0]["value"] = 1
    for part, value in zip(asked["state"], ({"athlete": "aled"}, name, until), strict=True):
        part["value"] = value
    told: dict[str, Any] = ask(app.server.test_client(), asked).get_json()["response"]
    return told


def test_a_guardian_is_noted_on_the_page_and_then_agrees_for_the_hand_over(squad: Squad) -> None:
    assert "Under age" in shown(squad)
    assert "Under age" not in shown(squad, ALED), "the athlete does not choose their own guardian"
    assert who_agrees(squad, squad.season(), "aled") == "Aled"
    until = dt.date.today() + dt.timedelta(days=400)
    assert "nobody is named" in json.dumps(note(squad, " ", until.isoformat())).lower()
    assert "was given" in json.dumps(note(squad, "Gwen", "1999-01-01"))
    assert squad.guardian("aled") is None
    assert note(squad, "Gwen", until.isoformat())["shell-written"]["data"]["said"] == "It is noted who agrees."
    held = squad.guardian("aled")
    assert held is not None
    assert (held.name, held.until) == ("Gwen", until)
    assert who_agrees(squad, squad.season(), "aled") == "Gwen"


def test_what_is_agreed_to_here_is_no_hand_over(squad: Squad) -> None:
    squad.agree("aled", ANSWERS, given_by="Aled")
    here = visit(Desk(squad), "?athlete=aled")[0]
    told = json.dumps(STANDING.build(here), cls=PlotlyJSONEncoder)
    assert "Take it back" not in told
    assert "None" not in told


def test_an_athlete_of_age_decides_alone_and_programmers_and_guests_see_nothing(squad: Squad) -> None:
    own = shown(squad, ALED)
    assert len(buttons(own)) == 4
    assert "Press a button only when" not in own
    for who in (Person("Piran", "programmer", key="account:2"),
                Person("Dr Penrose", "guest", "aled", frozenset({"load"}), "link:1")):  # fmt: skip
        assert shown(squad, who) == "[]"


def test_what_cannot_be_kept_is_said_and_nothing_is_written(squad: Squad) -> None:
    before = squad._store.revision
    assert "here is no purpose" in json.dumps(press(squad, "agree", "selling"))
    assert "not in the squad" in json.dumps(press(squad, "agree", ANSWERS, "nobody"))
    assert squad._store.revision == before
