"""The owner's page of accounts: each button does what it says, for the owner only, and through the one gate."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from dash import Dash

from keelmark.service import Squad
from keelmark_dash import create_app
from keelmark_dash.access import ENDPOINTS
from tests.access.conftest import sign_in, token_in
from tests.store.made import save, squad

SignedIn = Callable[[str], Any]
PASSWORD = "lantern under the table"
OWN = "harbour of odd socks"


@pytest.fixture
def ask(signed_in: SignedIn) -> Callable[..., Any]:
    """Press a button of the page as the owner."""
    client = signed_in("Rowena")

    def press(do: str, **said: str) -> Any:
        return client.post("/accounts", data={"csrf_token": token_in(client.get("/accounts")), "do": do, **said})

    return press


def words(answer: Any) -> str:
    found = re.search(r'class="remark[^>]*>(.*?)</div>', answer.get_data(as_text=True), re.DOTALL)
    assert found is not None
    return found.group(1)


def shown(answer: Any) -> str:
    """The secret that a page shows this once."""
    found = re.search(r'readonly value="([^"]+)"', answer.get_data(as_text=True))
    assert found is not None
    return found.group(1)


def first_sign_in(client: Any, name: str, first: str, own: str, home: str = "/") -> None:
    """Come in with a first password: it is not enough, and another has to be chosen."""
    answer = sign_in(client, name, first)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/sign-in/step?next=")
    assert client.get("/methods").status_code == 302, "nothing is open yet"
    page = client.get("/sign-in/step")
    for new in (first, "short"):
        said = {"csrf_token": token_in(page), "new": new, "again": new}
        assert client.post("/sign-in/step", data=said).status_code == 400
    said = {"csrf_token": token_in(page), "new": own, "again": own}
    assert client.post("/sign-in/step", data=said).headers["Location"] == home
    assert client.get("/methods").status_code == 200


@pytest.mark.parametrize("visitor", ["Carys", "Piran", "Tove", "guest:load", "guest:complaints"])
def test_nobody_but_the_owner_sees_or_changes_accounts(signed_in: SignedIn, crew: Squad, visitor: str) -> None:
    assert ENDPOINTS["accounts"].roles == {"owner"}
    client, before = signed_in(visitor), crew.accounts.everybody()
    assert client.get("/accounts").status_code == 403
    cookie = client.get_cookie("_csrf_token")
    said = {"csrf_token": cookie.value if cookie else "", "do": "role", "name": "Carys", "role": "owner"}
    assert client.post("/accounts", data=said).status_code == 403
    assert crew.accounts.everybody() == before


def test_it_is_shut_to_somebody_who_has_not_signed_in_and_without_a_token(
    stranger: Any, signed_in: SignedIn, crew: Squad
) -> None:
    assert stranger.get("/accounts").status_code in (302, 401)
    before = crew.accounts.everybody()
    said = {"do": "close", "name": "Carys"}
    assert signed_in("Rowena").post("/accounts", data=said).status_code == 403
    assert crew.accounts.everybody() == before


def test_an_account_is_opened_changed_and_closed(ask: Callable[..., Any], crew: Squad, app: Dash) -> None:
    added = ask("add", name=" Wenna ", role="coach", athlete="")
    assert "Wenna may come in" in words(added)
    client = app.server.test_client()
    first_sign_in(client, "Wenna", shown(added), PASSWORD)
    key = crew.accounts.named("Wenna").account_id
    assert client.get("/accounts").status_code == 403
    assert "another role" in words(ask("role", name="Wenna", role="athlete", athlete="bridie"))
    assert client.get("/athlete").status_code == 302, "another role signs out"
    assert (crew.accounts.named("Wenna").role, crew.accounts.named("Wenna").athlete_id) == ("athlete", "bridie")
    reset = ask("reset", name="Wenna")
    assert sign_in(app.server.test_client(), "Wenna", PASSWORD).status_code == 401
    first_sign_in(app.server.test_client(), "Wenna", shown(reset), OWN, "/athlete")
    assert sign_in(app.server.test_client(), "Wenna", shown(reset)).status_code == 401, "it opens the door once"
    assert "may not come in" in words(ask("close", name="Wenna"))
    assert sign_in(app.server.test_client(), "Wenna", OWN).status_code == 401
    assert key not in {one.account_id for one in crew.accounts.everybody()}


@pytest.mark.parametrize(
    ("do", "said", "found"),
    [
        ("add", {"name": "Carys", "role": "coach"}, "called &#39;Carys&#39; already"),
        ("add", {"name": "Jory", "role": "athlete"}, "names no athlete"),
        ("role", {"name": "Rowena", "role": "coach"}, "is the only owner"),
        ("close", {"name": "Rowena"}, "is the only owner"),
        ("reset", {"name": "Nobody"}, "no account called"),
        ("unpair", {"name": "Nobody"}, "no account called"),
        ("demand", {"of-owner": "1"}, "you have no second step yourself"),
        ("invite", {"name": "Dr Penrose", "athlete": "tove", "days": "7"}, "nothing to show"),
        ("invite", {"name": "Dr Penrose", "athlete": "tove", "days": "90", "field-load": "1"}, "90 days were given"),
    ],
)
def test_what_does_not_fit_is_refused_and_changes_nothing(
    ask: Callable[..., Any], crew: Squad, do: str, said: dict[str, str], found: str
) -> None:
    before = crew.accounts.everybody(), len(crew.accounts.links())
    answer = ask(do, **said)
    assert answer.status_code == 400
    assert found in words(answer)
    assert (crew.accounts.everybody(), len(crew.accounts.links())) == before


def test_a_link_is_shown_once_opens_what_was_ticked_and_is_taken_back(
    ask: Callable[..., Any], crew: Squad, app: Dash, signed_in: SignedIn
) -> None:
    answer = ask("invite", name="Dr Penrose", athlete="tove", days="3", **{"field-load": "1"})
    found = re.search(r'readonly value="http://localhost(/with/[^"]+)"', answer.get_data(as_text=True))
    assert found is not None
    link = crew.accounts.links("tove")[0]
    assert (link.name, link.fields) == ("Dr Penrose", "load")
    assert link.made_by == crew.accounts.named("Rowena").account_id
    assert found.group(1) not in signed_in("Rowena").get("/accounts").get_data(as_text=True)
    guest = app.server.test_client()
    assert guest.get(found.group(1)).status_code == 200
    assert "opens nothing any more" in words(ask("withdraw", link=str(link.link_id)))
    assert guest.get(found.group(1)).status_code == 404


def test_no_password_or_hash_stands_on_the_page(signed_in: SignedIn, crew: Squad) -> None:
    page = signed_in("Rowena").get("/accounts?of=" + str(crew.accounts.named("Carys").account_id))
    text = page.get_data(as_text=True)
    assert "Change the account of Carys" in text
    assert "argon2" not in text
    assert re.findall(r'type="password"[^>]*value=', text) == []


def test_the_first_account_is_opened_here_and_shuts_the_door_behind_it(tmp_path: Path) -> None:
    with Squad.open(f"sqlite:///{tmp_path / 'new.db'}") as opened:
        save(opened._store, athletes=squad("bo"))
        client = create_app(opened).server.test_client()
        page = client.get("/accounts")
        assert "The first account" in page.get_data(as_text=True)
        said = {"do": "add", "name": "Rowena", "role": "coach", "password": PASSWORD}
        assert client.post("/accounts", data=said).status_code == 400, "without its token"
        assert not opened.accounts.exist
        answer = client.post("/accounts", data={**said, "csrf_token": token_in(page)})
        assert (answer.status_code, answer.headers["Location"]) == (303, "/sign-in?next=/accounts")
        assert [(one.name, one.role) for one in opened.accounts.everybody()] == [("Rowena", "owner")]
        assert create_app(opened).server.test_client().get("/accounts").status_code in (302, 401)
        assert client.get("/").status_code == 302
