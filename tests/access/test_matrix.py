"""Role x address, page and callback x owner of the rows: what is open is stated here once more, and nothing else is.

The tests walk the app's own lists. Whoever adds a page, a callback, an address or a call of the service has to say in
the tables who may ask for it; until then these tests fail, and everybody with an account is refused.
"""

from __future__ import annotations

import inspect
import itertools
import json
from collections import Counter
from collections.abc import Callable
from typing import Any

import polars as pl
import pytest
from dash import Dash

from keelmark.contracts.errors import AccessError
from keelmark.service import Squad
from keelmark.service.person import Person
from keelmark.service.personal import MAY_ASK
from keelmark_dash.access import CALLBACKS, ENDPOINTS, PAGES
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.app import PAGES as SHOWN
from tests.access.questions import ask, outputs_of, question

VISITORS = {
    "Rowena": ("owner", frozenset()),
    "Carys": ("coach", frozenset()),
    "Piran": ("programmer", frozenset()),
    "Tove": ("athlete", frozenset()),
    "guest:load": ("guest", frozenset({"load"})),
    "guest:complaints": ("guest", frozenset({"complaints"})),
}
BOUND = ("Tove", "guest:load", "guest:complaints")
OPEN_PAGES = {
    "Rowena": {
        "/",
        "/athlete",
        "/programme",
        "/log",
        "/check-ins",
        "/hand-over",
        "/brief",
        "/methods",
        "/settings",
        "/care",
    },
    "Carys": {
        "/",
        "/athlete",
        "/programme",
        "/log",
        "/check-ins",
        "/hand-over",
        "/brief",
        "/methods",
        "/settings",
        "/care",
    },
    "Piran": {"/", "/athlete", "/programme", "/brief", "/methods", "/care"},
    "Tove": {"/athlete", "/check-ins", "/hand-over", "/brief", "/methods", "/care"},
    "guest:load": {"/athlete", "/methods", "/care"},
    "guest:complaints": {"/check-ins", "/methods", "/care"},
}
"""Written out, so that a change of the table is a change of two files."""
SignedIn = Callable[[str], Any]


# Nothing is missing


def test_every_callback_is_in_the_table_under_one_name(app: Dash) -> None:
    names = callback_names(app)
    doubled = [name for name, count in Counter(names.values()).items() if count > 1]
    assert doubled == [], "two callbacks of one file need two names"
    assert set(names.values()) == set(CALLBACKS)


def test_every_address_is_in_the_table(app: Dash) -> None:
    assert {rule.endpoint for rule in app.server.url_map.iter_rules()} == set(ENDPOINTS)


def test_every_page_is_in_the_table() -> None:
    assert {page.path for page in SHOWN} == set(PAGES)


def test_every_call_of_the_service_is_in_the_table() -> None:
    public = {name for name in dir(Squad) if not name.startswith("_")}
    assert public - set(MAY_ASK) == {"open", "accounts", "seen_by"}, "these three are for the pages' gate alone"
    assert set(MAY_ASK) <= public
    for name, may in MAY_ASK.items():
        if may.whose is not None:
            assert may.whose in inspect.signature(getattr(Squad, name)).parameters


def test_a_call_that_is_about_one_athlete_says_so() -> None:
    for name, may in MAY_ASK.items():
        held = inspect.getattr_static(Squad, name)
        named = {"athlete_id", "athlete_ids"} & set(inspect.signature(held).parameters) if callable(held) else set()
        bound = may.roles & {"athlete", "guest"}
        assert not (named and bound) or may.whose in named, name


# Addresses and pages


@pytest.mark.parametrize("path", sorted(PAGES))
@pytest.mark.parametrize("visitor", VISITORS)
def test_pages(signed_in: SignedIn, app: Dash, visitor: str, path: str) -> None:
    client, is_open = signed_in(visitor), path in OPEN_PAGES[visitor]
    answer = client.get(path)
    home_instead = path == "/" and answer.status_code == 302
    assert (answer.status_code == 200) == is_open, answer.status
    assert is_open or home_instead or answer.status_code == 403
    shown = question(app, outputs_of(app)["app:_show"])
    shown["inputs"][0]["value"], shown["inputs"][1]["value"] = path, ""
    built = ask(client, shown)
    assert (built.status_code == 200) == is_open
    assert not is_open or "not open to you" not in built.get_data(as_text=True), "a page asks only what it may"


@pytest.mark.parametrize("path", sorted(PAGES))
def test_pages_are_shut_to_somebody_who_has_not_signed_in(stranger: Any, path: str) -> None:
    answer = stranger.get(path)
    if path == "/care":
        assert answer.status_code == 200
        assert b"Get medical help now" in answer.data
    else:
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith("/sign-in?next=")


@pytest.mark.parametrize(
    ("path", "code"),
    [("/_dash-layout", 401), ("/_dash-dependencies", 401), ("/_reload-hash", 401), ("/health", 200),
     ("/assets/page.css", 200), ("/sign-in", 200), ("/account", 302)],
)  # fmt: skip
def test_addresses_are_shut_to_somebody_who_has_not_signed_in(stranger: Any, path: str, code: int) -> None:
    assert stranger.get(path).status_code == code


@pytest.mark.parametrize("name", sorted(CALLBACKS))
def test_callbacks_are_shut_to_somebody_who_has_not_signed_in(stranger: Any, app: Dash, name: str) -> None:
    stranger.get("/sign-in")
    assert ask(stranger, question(app, outputs_of(app)[name])).status_code in (401, 403)


def test_a_guest_has_no_account_page(signed_in: SignedIn) -> None:
    assert signed_in("guest:load").get("/account").status_code == 403
    assert signed_in("Tove").get("/account").status_code == 200


# Callbacks


@pytest.mark.parametrize("name", sorted(CALLBACKS))
@pytest.mark.parametrize("visitor", VISITORS)
def test_callbacks(signed_in: SignedIn, app: Dash, visitor: str, name: str) -> None:
    role, fields = VISITORS[visitor]
    answer = ask(signed_in(visitor), question(app, outputs_of(app)[name]))
    if name == "app:_show":
        assert (answer.status_code == 200) == ("/" in OPEN_PAGES[visitor]), "without a path it is the first page"
    elif not CALLBACKS[name].admits(role, fields):
        assert answer.status_code == 403
    else:
        assert answer.status_code in (200, 204)


def ids_in(held: Any) -> list[Any]:
    """Every component's id in an answer."""
    if isinstance(held, list):
        return [name for one in held for name in ids_in(one)]
    if not isinstance(held, dict):
        return []
    own = [held["id"]] if isinstance(held.get("id"), (str, dict)) else []
    return own + [name for one in held.values() for name in ids_in(one)]


def fits(asked: str, name: Any) -> bool:
    """Whether a callback that listens to `asked` listens to a component of this id."""
    if not asked.startswith("{"):
        return bool(asked == name)
    pattern = json.loads(asked)
    return (
        isinstance(name, dict)
        and set(name) == set(pattern)
        and all(isinstance(part, list) or part == name[key] for key, part in pattern.items())
    )


@pytest.mark.parametrize("visitor", VISITORS)
def test_a_page_offers_its_reader_nothing_that_would_be_refused(signed_in: SignedIn, app: Dash, visitor: str) -> None:
    role, fields = VISITORS[visitor]
    outputs, client = outputs_of(app), signed_in(visitor)
    shut = {name: app.callback_map[outputs[name]] for name in CALLBACKS if not CALLBACKS[name].admits(role, fields)}
    for path, search in itertools.product(sorted(OPEN_PAGES[visitor]), ("", "?week=2026-W23&athlete=tove&show=1")):
        shown = question(app, outputs["app:_show"])
        shown["inputs"][0]["value"], shown["inputs"][1]["value"] = path, search
        there = ids_in(ask(client, shown).get_json())
        assert len(there) > 2, path
        for name, held in shut.items():
            buttons = [one["id"] for one in held["inputs"] if any(fits(one["id"], own) for own in there)]
            assert buttons == [], (path, search, name)


def test_somebody_is_erased_by_the_owner_or_by_themselves_only(crew: Squad, signed_in: SignedIn, app: Dash) -> None:
    asked = question(app, outputs_of(app)["parts.rights:_erase"])
    for visitor, code in {"Carys": 403, "Piran": 403, "guest:load": 403, "Tove": 200, "Rowena": 200}.items():
        assert ask(signed_in(visitor), asked).status_code == code, visitor
    for role in ("coach", "programmer", "guest"):
        with pytest.raises(AccessError, match="not open to you"):
            _ = crew.seen_by(person(role)).erase_athlete
    with pytest.raises(AccessError, match="of somebody else"):
        crew.seen_by(person("athlete", "tove")).erase_athlete("aled", "Aled")


def test_a_callback_that_is_not_in_the_table_is_refused_to_all(
    signed_in: SignedIn, app: Dash, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = question(app, outputs_of(app)["pages.methods:_rows"])
    assert ask(signed_in("Rowena"), asked).status_code in (200, 204)
    monkeypatch.delitem(CALLBACKS, "pages.methods:_rows")
    for visitor in VISITORS:
        assert ask(signed_in(visitor), asked).status_code == 403
    assert ask(signed_in("Rowena"), asked | {"output": "no-such.thing"}).status_code == 400
    assert ask(signed_in("Rowena"), ["no question"]).status_code == 400


# Whose rows


def others(crew: Squad) -> list[str]:
    """First names of everybody but the one whom the bound visitors are bound to."""
    return [name for name in crew.season().athletes["name"] if name != "Tove"]


FORMS = {
    "in an address": "?athlete=aled&week=2026-W23",
    "in an address without its sign": "athlete=aled",
    "as the second of two": "?athlete=tove&athlete=aled",
    "under a key": {"athlete": "aled", "week": "2026-W23", "channel": "tonnage"},
    "under another key": {"athlete_id": "aled"},
    "in a list under a key": {"who": ["tove", "aled"]},
}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("visitor", BOUND)
def test_a_question_that_names_somebody_else_is_refused(
    signed_in: SignedIn, app: Dash, visitor: str, form: str
) -> None:
    role, fields = VISITORS[visitor]
    for name, output in outputs_of(app).items():
        if name not in CALLBACKS or not CALLBACKS[name].admits(role, fields):
            continue
        whole = question(app, output, FORMS[form])
        if name == "app:_show":
            whole["inputs"][0]["value"] = sorted(OPEN_PAGES[visitor])[0]
        assert ask(signed_in(visitor), whole).status_code == 403, name
        for place, part in itertools.product(("inputs", "state"), range(len(whole["inputs"]) + len(whole["state"]))):
            alone = question(app, output)
            if part < len(alone[place]) and isinstance(alone[place][part], dict):
                alone[place][part]["value"] = FORMS[form]
                assert ask(signed_in(visitor), alone).status_code == 403, (name, place, part)


@pytest.mark.parametrize("visitor", BOUND)
def test_no_answer_names_anybody_else(signed_in: SignedIn, app: Dash, crew: Squad, visitor: str) -> None:
    role, fields = VISITORS[visitor]
    client, names = signed_in(visitor), others(crew)
    show = outputs_of(app)["app:_show"]
    answers = [client.get("/_dash-layout"), client.get("/account")]
    for path in sorted(OPEN_PAGES[visitor]):
        for search in ("", "?week=2026-W23&channel=jump_contacts", "?athlete=tove&group=inshore", "?show=1"):
            shown = question(app, show)
            shown["inputs"][0]["value"], shown["inputs"][1]["value"] = path, search
            answers.append(ask(client, shown))
    for name, output in outputs_of(app).items():
        if name in CALLBACKS and CALLBACKS[name].admits(role, fields):
            own = {"athlete": "tove", "week": "2026-W23", "channel": "jump_contacts"}
            answers += [ask(client, question(app, output, value)) for value in (None, "aled", ["aled"], 1, own)]
    texts = [answer.get_data(as_text=True) for answer in answers]
    assert any("Tove" in text for text in texts), "there is something to see"
    assert [name for name in names for text in texts if f"{name} " in text or f'"{name}"' in text] == []


@pytest.mark.parametrize("visitor", BOUND)
def test_an_address_that_names_somebody_else_is_refused(signed_in: SignedIn, visitor: str) -> None:
    page = next(path for path in ("/athlete", "/check-ins") if path in OPEN_PAGES[visitor])
    assert signed_in(visitor).get(f"{page}?athlete=aled").status_code == 403
    assert signed_in(visitor).get(f"{page}?athlete=nobody").status_code == 403, "whether there is one is not told"
    assert signed_in(visitor).get(f"{page}?athlete=tove").status_code == 200


# The service itself, behind the gate


TOLD_APART = dict.fromkeys(("set_setting", "change_own_movements", "agree", "say_no"), ("one", "two"))
"""Calls that hold the name of whoever asks, with something to call them with."""


def person(role: str, athlete: str | None = None, *fields: str) -> Person:
    return Person("Somebody", role, athlete, frozenset(fields), "account:1")


@pytest.mark.parametrize("name", sorted(MAY_ASK))
@pytest.mark.parametrize("role", ["owner", "coach", "programmer", "athlete", "guest"])
def test_the_service_refuses_a_role_that_may_not_ask(crew: Squad, role: str, name: str) -> None:
    bound = "tove" if role in ("athlete", "guest") else None
    mine = crew.seen_by(person(role, bound, "load", "complaints"))
    if role in MAY_ASK[name].roles:
        assert getattr(mine, name) is not None
    else:
        with pytest.raises(AccessError, match="not open to you"):
            getattr(mine, name)(*TOLD_APART.get(name, ()), **({"given_by": "x"} if name in ("agree", "say_no") else {}))


def test_the_service_refuses_what_is_not_in_its_table(crew: Squad) -> None:
    for name in ("accounts", "seen_by", "_store", "open", "no_such_thing"):
        with pytest.raises(AccessError):
            getattr(crew.seen_by(person("owner")), name)


def test_somebody_who_is_bound_gets_their_own_rows_only(crew: Squad) -> None:
    mine = crew.seen_by(person("athlete", "tove"))
    season = mine.season()
    frames = [getattr(season, name) for name in ("daily", "weekly", "marks", "notices", "day_states", "athletes")]
    frames += [getattr(season.kept, name) for name in ("athletes", "efforts", "sessions", "rep_maxima", "day_states")]
    for frame in [*frames, mine.check_ins(), mine.complaint_decisions()]:
        assert set(frame["athlete_id"]) <= {"tove"}
    assert season.weekly.height > 100
    assert season.weekly.equals(crew.season().weekly.filter(pl.col("athlete_id") == "tove"))
    assert mine.season() is season, "cut once, and kept while the whole season stands"
    with pytest.raises(AccessError, match="of somebody else"):
        mine.check_ins("aled")
    with pytest.raises(AccessError, match="of somebody else"):
        mine.timeline("aled", "2026-W23")
    with pytest.raises(AccessError, match="of somebody else"):
        mine.check_in("aled", "2026-W23", {})
    with pytest.raises(AccessError, match="of somebody else"):
        mine.set_day_state(["tove", "aled"], [], "rest")
    with pytest.raises(AccessError):
        mine.looks("aled")


def test_a_guest_without_that_field_reads_no_health_data(crew: Squad) -> None:
    guest = crew.seen_by(person("guest", "tove", "load"))
    for name in ("check_ins", "timeline", "complaint_decisions"):
        with pytest.raises(AccessError):
            getattr(guest, name)("tove")
    assert crew.seen_by(person("guest", "tove", "complaints")).check_ins("tove").height > 0


def test_looks_of_others_are_noted_for_the_athlete(crew: Squad, signed_in: SignedIn, app: Dash) -> None:
    shown = question(app, outputs_of(app)["app:_show"])
    shown["inputs"][0]["value"], shown["inputs"][1]["value"] = "/check-ins", "?athlete=dagny"
    before = {(one.name, one.what) for one in crew.accounts.looks("dagny")}
    assert ask(signed_in("Carys"), shown).status_code == 200
    after = {(one.name, one.what) for one in crew.accounts.looks("dagny")}
    assert ("Carys", "complaints over time") in after
    assert before <= after
    own = crew.seen_by(person("athlete", "tove"))
    own.looks("tove")
    assert [one for one in crew.accounts.looks("tove") if one.role == "athlete"] == [], "one's own looks are not noted"
