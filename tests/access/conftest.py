"""A demo crew with one account of each role, and browsers without a window that sign in to its pages."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import flask.testing
import pytest
from dash import Dash

from keelmark.service import Squad, load_demo
from keelmark_dash import create_app
from keelmark_dash.access.pace import Paces
from tests.store.conftest import address, postgresql, store

__all__ = ["PASSWORDS", "address", "postgresql", "sign_in", "store", "token_in"]

PASSWORDS = {
    "Rowena": "four dry ropes on deck",
    "Carys": "kettle beside the winch",
    "Piran": "seven grey gulls asleep",
    "Tove": "mustard on a rope ladder",
    "Aled": "quiet tide under planks",
}
"""Name and password of each account: owner, coach, programmer, and two athletes of the demo."""
ROLES = {
    "Rowena": ("owner", None),
    "Carys": ("coach", None),
    "Piran": ("programmer", None),
    "Tove": ("athlete", "tove"),
    "Aled": ("athlete", "aled"),
}
Client = flask.testing.FlaskClient


@pytest.fixture(scope="session")
def crew(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """The demo's crew with its accounts."""
    place = tmp_path_factory.mktemp("crew") / "demo.sqlite"
    with Squad.open(f"sqlite:///{place}") as opened:
        load_demo(opened)
        for name, (role, athlete) in ROLES.items():
            opened.accounts.add(name, role, PASSWORDS[name], athlete_id=athlete)
        yield opened


@pytest.fixture(scope="session")
def app(crew: Squad) -> Dash:
    """The pages over the crew."""
    with pytest.MonkeyPatch.context() as patch:  # tests ask more and faster than people
        patch.setattr("keelmark_dash.access.gate.Paces", lambda: Paces(times=1_000))
        made = create_app(crew)
    made.server.test_client().get("/health")
    return made


@pytest.fixture
def stranger(app: Dash) -> Client:
    """Somebody who has not signed in."""
    return app.server.test_client()


@pytest.fixture(scope="session")
def signed_in(app: Dash, crew: Squad) -> Callable[[str], Client]:
    """A browser of the account of a name, or of a guest: `guest:load`, `guest:complaints`."""
    known: dict[str, Client] = {}

    def of(name: str) -> Client:
        if name not in known or (":" not in name and known[name].get("/account").status_code != 200):
            client = app.server.test_client()
            if name.startswith("guest:"):
                token = crew.accounts.invite("Dr Penrose", "tove", name.removeprefix("guest:").split("+"), 3)
                path = f"/with/{token}"
                client.post(path, data={"csrf_token": token_in(client.get(path))})
            else:
                assert sign_in(client, name, PASSWORDS[name]).status_code == 303
            known[name] = client
        return known[name]

    return of


def token_in(answer: Any) -> str:
    """The token of the form on a page."""
    found = re.search(r'name="csrf_token" value="([^"]+)"', answer.get_data(as_text=True))
    assert found is not None
    return found.group(1)


def sign_in(client: Client, name: str, password: str, **more: Any) -> Any:
    """Fill in the form; gives the answer."""
    said = {"csrf_token": token_in(client.get("/sign-in")), "name": name, "password": password}
    return client.post("/sign-in", data=said | more.pop("data", {}), **more)
