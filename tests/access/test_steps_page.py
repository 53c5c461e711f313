"""The pages of the second step: plain forms that work without script, shut until the step is done."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pyotp
import pytest

from keelmark.service import Squad
from keelmark_dash import create_app
from tests.access.conftest import sign_in, token_in
from tests.store.made import save, squad

PASSWORD = "lantern under the table"
OTHER = "harbour of odd socks"
Browser = Any
MOMENT = datetime.now(UTC)
"""The time of every sign-in here: a half minute that does not pass while a test runs."""


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Squad]:
    """A squad of one athlete, an owner and a coach."""
    with Squad.open(f"sqlite:///{tmp_path / 'small.db'}") as opened:
        save(opened._store, athletes=squad("bo"))
        opened.accounts._clock = lambda: MOMENT
        opened.accounts.add("Rowena", "owner", PASSWORD)
        opened.accounts.add("Carys", "coach", OTHER)
        yield opened


@pytest.fixture
def client(small: Squad) -> Browser:
    return create_app(small).server.test_client()


def press(client: Browser, path: str, **said: str) -> Any:
    return client.post(path, data={"csrf_token": token_in(client.get(path)), **said})


def text(answer: Any) -> str:
    return html.unescape(answer.get_data(as_text=True))


def code(page: Any, at: int = 0) -> str:
    """What an app shows that was given the secret on a page; `at` counts half minutes from now."""
    found = re.search(r'class="typed">([A-Z2-7 ]+)<', text(page))
    assert found is not None
    moment = MOMENT.timestamp() + 30 * at
    return pyotp.TOTP(found.group(1).replace(" ", "")).at(int(moment))


def test_an_app_is_paired_on_the_account_page_and_asked_for_from_then_on(client: Browser, small: Squad) -> None:
    sign_in(client, "Rowena", PASSWORD)
    assert press(client, "/account", do="pair", old="wrong").status_code == 400
    page = press(client, "/account", do="pair", old=PASSWORD)
    assert "<svg" in text(page)
    refused = press(client, "/account", do="confirm", code="no")
    assert refused.status_code == 400
    assert code(refused) == code(page), "the same picture stands there for another try"
    done = press(client, "/account", do="confirm", code=code(page, -1))
    assert done.status_code == 200
    codes = re.findall(r"<li><code>([a-z2-7-]+)</code>", text(done))
    assert len(codes) == 8
    assert codes[0] not in text(client.get("/account")), "they are shown once"

    other = client.application.test_client()
    answer = sign_in(other, "Rowena", PASSWORD, data={"next": "/methods"})
    assert answer.headers["Location"] == "/sign-in/step?next=%2Fmethods"
    assert other.get("/methods").status_code == 302, "the password alone opens nothing"
    assert other.post("/_dash-update-component", json={}).status_code in (401, 403)
    assert press(other, "/sign-in/step", code="nothing").status_code == 401
    answer = press(other, "/sign-in/step", code=code(page), next="/methods")
    assert (answer.status_code, answer.headers["Location"]) == (303, "/methods")
    assert other.get("/methods").status_code == 200
    assert other.get("/sign-in/step").status_code == 303, "there is no step left"

    third = client.application.test_client()
    sign_in(third, "Rowena", PASSWORD)
    assert press(third, "/sign-in/step", code=code(page)).status_code == 401, "a code is good once"
    assert press(third, "/sign-in/step", recovery=codes[0].upper()).status_code == 303
    assert "Recovery codes left: 7" in text(third.get("/account"))
    assert small.accounts.paired() == {small.accounts.named("Rowena").account_id}


def test_the_owner_demands_it_and_a_coach_pairs_an_app_on_the_way_in(client: Browser, small: Squad) -> None:
    sign_in(client, "Rowena", PASSWORD)
    assert press(client, "/accounts", do="demand", **{"of-coach": "1"}).status_code == 200
    coach = client.application.test_client()
    assert sign_in(coach, "Carys", OTHER).headers["Location"].startswith("/sign-in/step")
    page = coach.get("/sign-in/step")
    assert "asks for a second step" in text(page)
    assert coach.get("/").status_code == 302
    done = press(coach, "/sign-in/step", code=code(page), next="/methods")
    assert 'href="/methods"' in text(done)
    assert coach.get("/methods").status_code == 200
    assert "Take the app away" not in text(coach.get("/account")), "what is demanded stays"
    chosen = client.get(f"/accounts?of={small.accounts.named('Carys').account_id}")
    assert "Take the app of Carys away" in text(chosen)
    assert "taken away" in text(press(client, "/accounts", do="unpair", name="Carys"))
    assert coach.get("/methods").status_code == 302


def test_a_step_without_a_session_or_token_leads_back(client: Browser) -> None:
    assert client.get("/sign-in/step?next=//evil.example").headers["Location"] == "/sign-in?next="
    sign_in(client, "Carys", OTHER)
    assert client.post("/sign-in/step", data={"code": "123456"}).status_code == 403
    assert press(client, "/account", do="nothing").status_code == 400


def test_sign_ins_are_listed_and_ended_with_the_password(client: Browser) -> None:
    sign_in(client, "Carys", OTHER)
    other = client.application.test_client()
    sign_in(other, "Carys", OTHER)
    page = text(client.get("/account"))
    marks = re.findall(r'name="session" value="([0-9a-f]{16})"', page)
    assert len(marks) == 1
    assert press(client, "/account", do="end", session=marks[0], old="wrong").status_code == 400
    assert other.get("/methods").status_code == 200
    assert press(client, "/account", do="end", session="0" * 16, old=OTHER).status_code == 400
    assert press(client, "/account", do="end", session=marks[0], old=OTHER).status_code == 200
    assert other.get("/methods").status_code == 302
    assert client.get("/methods").status_code == 200
