"""Accounts, passwords, sessions and links, on every kind of database."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from argon2 import Parameters, PasswordHasher, extract_parameters
from argon2.profiles import RFC_9106_LOW_MEMORY

from keelmark.contracts.errors import SettingError, StoreError
from keelmark.service.accounts import Accounts
from keelmark.service.person import ROLE_WORDS, ROLES
from keelmark.service.signing_in import LIFETIMES, TRIES, WINDOW
from keelmark.store import Store
from tests.store.made import effort, efforts, save, squad

PASSWORD = "four dry ropes on deck"
OTHER = "kettle beside the winch"
HERE = "127.0.0.1"


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 2, 8, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def accounts(address: str, clock: Clock) -> Iterator[Accounts]:
    with Store.open(address, clock=clock) as store:
        save(store, athletes=squad("bo", "ida"), efforts=efforts(effort()))
        yield Accounts(store, clock)


def owner(accounts: Accounts) -> str:
    accounts.add("Rowena", "owner", PASSWORD)
    token = accounts.sign_in("Rowena", PASSWORD, address=HERE)
    assert token is not None
    return token


def test_nobody_needs_an_account_until_there_is_one(accounts: Accounts) -> None:
    assert not accounts.exist
    owner(accounts)
    assert accounts.exist


def test_the_first_account_is_an_owner_s_and_the_last_owner_stays(accounts: Accounts) -> None:
    with pytest.raises(SettingError, match=r"there is no account yet.*an owner first"):
        accounts.add("Carys", "coach", PASSWORD)
    owner(accounts)
    accounts.add("Carys", "coach", OTHER)
    with pytest.raises(SettingError, match="Rowena is the only owner"):
        accounts.close("Rowena")
    accounts.add("Jory", "owner", OTHER)
    accounts.close("Rowena")
    assert [(one.name, one.role) for one in accounts.everybody()] == [("Carys", "coach"), ("Jory", "owner")]


@pytest.mark.parametrize(
    ("name", "role", "athlete", "found"),
    [
        ("  ", "coach", None, "the name is empty"),
        ("Bo\u202ea", "coach", None, "signs that cannot be seen"),
        ("B" * 61, "coach", None, "too long"),
        ("Bo", "captain", None, "there is no account of a 'captain'"),
        ("Bo", "guest", None, "there is no account of a 'guest'"),
        ("Bo", "athlete", None, "names no athlete"),
        ("Bo", "coach", "bo", "a coach is bound to an athlete"),
    ],
)
def test_what_makes_no_account_is_refused(
    accounts: Accounts, name: str, role: str, athlete: str | None, found: str
) -> None:
    owner(accounts)
    with pytest.raises(SettingError, match=found):
        accounts.add(name, role, OTHER, athlete_id=athlete)


def test_an_athlete_has_to_be_in_the_squad_and_a_name_is_taken_once(accounts: Accounts) -> None:
    owner(accounts)
    with pytest.raises(StoreError, match="not in the squad: nobody"):
        accounts.add("Nobody", "athlete", OTHER, athlete_id="nobody")
    accounts.add("Bo", "athlete", OTHER, athlete_id="bo")
    with pytest.raises(StoreError, match=r"called ' ?bO' already"):
        accounts.add(" bO", "coach", OTHER)


@pytest.mark.parametrize(
    "password",
    ["short one", "password1234", "123456789012", "qwertyuiopas", "aaaaaaaaaaaa", "Rowena123456", "keelmark1234",
     "x" * 129],
)  # fmt: skip
def test_a_password_that_is_guessed_quickly_is_refused_and_never_repeated(accounts: Accounts, password: str) -> None:
    with pytest.raises(SettingError) as told:
        accounts.add("Rowena", "owner", password)
    assert password not in str(told.value)
    assert not accounts.exist


def test_passwords_and_tokens_are_kept_as_hashes_only(accounts: Accounts, address: str) -> None:
    token = owner(accounts)
    guest = accounts.invite("Dr Penrose", "bo", ["load"], 3)
    kept = accounts._store
    assert kept.account_named("rowena").password_hash.startswith("$argon2id$")  # type: ignore[union-attr]
    with kept._reading() as connection:
        for table in ("account", "account_session", "guest_link"):
            rows = str(connection.exec_driver_sql(f"SELECT * FROM {table}").fetchall())
            assert not any(secret in rows for secret in (PASSWORD, token, guest))


def test_a_session_ends_unused_at_its_longest_and_when_signed_out(accounts: Accounts, clock: Clock) -> None:
    token = owner(accounts)
    idle, longest = LIFETIMES["owner"]
    clock.now += idle - timedelta(minutes=1)
    assert accounts.person(token) is not None
    clock.now += idle - timedelta(minutes=1)
    assert accounts.person(token) is not None, "it was in use half a day ago"
    clock.now += idle
    assert accounts.person(token) is None

    token = accounts.sign_in("Rowena", PASSWORD, address=HERE) or ""
    end = clock.now + longest
    while clock.now + idle / 2 < end:
        clock.now += idle / 2
        assert accounts.person(token) is not None
    clock.now = end
    assert accounts.person(token) is None

    token = accounts.sign_in("Rowena", PASSWORD, address=HERE) or ""
    accounts.sign_out(token)
    assert accounts.person(token) is None


def test_each_sign_in_is_another_session(accounts: Accounts) -> None:
    first = owner(accounts)
    second = accounts.sign_in("Rowena", PASSWORD, address=HERE)
    assert first != second
    assert accounts.person(first) == accounts.person(second)


def test_closing_and_resetting_end_every_session(accounts: Accounts) -> None:
    owner(accounts)
    accounts.add("Carys", "coach", OTHER)
    token = accounts.sign_in("carys", OTHER, address=HERE)
    accounts.reset("Carys", "seven grey gulls asleep")
    assert accounts.person(token) is None
    assert accounts.sign_in("Carys", OTHER, address=HERE) is None
    token = accounts.sign_in("Carys", "seven grey gulls asleep", address=HERE)
    assert accounts.person(token) is not None
    accounts.close("Carys")
    assert accounts.person(token) is None
    assert accounts.sign_in("Carys", "seven grey gulls asleep", address=HERE) is None


def test_changing_the_password_asks_for_the_old_one_and_keeps_this_session_only(accounts: Accounts) -> None:
    here = owner(accounts)
    elsewhere = accounts.sign_in("Rowena", PASSWORD, address=HERE)
    person = accounts.person(here)
    assert person is not None
    with pytest.raises(SettingError, match="the present password is not right"):
        accounts.change_password(person, "wrong", OTHER, address=HERE, token=here)
    with pytest.raises(SettingError, match="common passwords"):
        accounts.change_password(person, PASSWORD, "password1234", address=HERE, token=here)
    accounts.change_password(person, PASSWORD, OTHER, address=HERE, token=here)
    assert accounts.person(here) is not None
    assert accounts.person(elsewhere) is None
    assert accounts.sign_in("Rowena", OTHER, address=HERE) is not None


def test_tries_are_counted_in_the_store_by_name_and_by_address(accounts: Accounts, clock: Clock) -> None:
    owner(accounts)
    together, by_name, by_address = TRIES
    for _ in range(together):
        assert accounts.sign_in("Rowena", "wrong", address="10.0.0.1") is None
    assert accounts.sign_in("Rowena", PASSWORD, address="10.0.0.1") is None, "too many from there"
    again = Accounts(accounts._store, clock)
    assert again.sign_in("Rowena", PASSWORD, address="10.0.0.1") is None, "the program was started anew"
    assert accounts.sign_in("Rowena", PASSWORD, address="10.0.0.2") is not None, "its owner is elsewhere"
    clock.now += WINDOW
    assert accounts.sign_in("Rowena", PASSWORD, address="10.0.0.1") is not None

    clock.now += WINDOW
    for place in range(by_name):
        accounts._store.begin_sign_in(
            "rowena", f"10.1.0.{place}", since=clock.now - WINDOW, forget=clock.now - 4 * WINDOW, limits=TRIES
        )
    assert accounts.sign_in("Rowena", PASSWORD, address="10.0.0.9") is None, "too many for the name"

    clock.now += WINDOW
    for place in range(by_address):
        accounts._store.begin_sign_in(
            f"name {place}", "10.2.0.1", since=clock.now - WINDOW, forget=clock.now - 4 * WINDOW, limits=TRIES
        )
    assert accounts.sign_in("Rowena", PASSWORD, address="10.2.0.1") is None, "too many from the address"


def test_a_name_that_nobody_has_is_throttled_and_takes_as_long(
    accounts: Accounts, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each try checks one password, hashed as dearly for a name that nobody has, and when tries are too many.

    All the rest of a try is thousands of times cheaper, so it is these checks that somebody who takes times would see.
    """
    checked: list[Parameters] = []
    verify = PasswordHasher.verify

    def counted(hasher: PasswordHasher, kept: str, password: str) -> bool:
        checked.append(extract_parameters(kept))
        return verify(hasher, kept, password)

    owner(accounts)
    monkeypatch.setattr(PasswordHasher, "verify", counted)
    for name in ("Rowena", "Nobody"):
        checked.clear()
        for _ in range(TRIES[0] + 1):
            assert accounts.sign_in(name, "wrong", address=HERE) is None
        assert checked == [RFC_9106_LOW_MEMORY] * (TRIES[0] + 1)


def test_a_link_opens_what_was_chosen_and_ends(accounts: Accounts, clock: Clock) -> None:
    owner(accounts)
    token = accounts.invite("Dr Penrose", "bo", ["complaints"], 3)
    opened = accounts.follow(token)
    guest = accounts.person(opened)
    assert guest is not None
    assert (guest.role, guest.athlete_id, guest.fields) == ("guest", "bo", {"complaints"})
    assert guest.reads_health
    assert accounts.follow("made up") is None
    clock.now += timedelta(days=3)
    assert accounts.follow(token) is None
    assert accounts.person(opened) is None


def test_a_link_that_is_taken_back_opens_nothing_and_ends_its_sessions(accounts: Accounts) -> None:
    owner(accounts)
    token = accounts.invite("Dr Penrose", "bo", ["load"], 3)
    opened = accounts.follow(token)
    accounts.withdraw(accounts.links()[0].link_id)
    assert accounts.person(opened) is None
    assert accounts.follow(token) is None
    assert accounts.links() == []


@pytest.mark.parametrize(
    ("fields", "days", "found"),
    [([], 3, "nothing to show"), (["everything"], 3, "no field 'everything'"), (["load"], 31, "31 days")],
)
def test_a_link_states_what_and_how_long(accounts: Accounts, fields: list[str], days: int, found: str) -> None:
    owner(accounts)
    with pytest.raises(SettingError, match=found):
        accounts.invite("Dr Penrose", "bo", fields, days)


def test_looks_are_noted_once_a_day_and_one_s_own_are_not(accounts: Accounts, clock: Clock) -> None:
    token = owner(accounts)
    accounts.add("Bo", "athlete", OTHER, athlete_id="bo")
    person = accounts.person(token)
    own = accounts.person(accounts.sign_in("Bo", OTHER, address=HERE))
    assert person is not None
    assert own is not None
    for _ in range(3):
        accounts.note_look(person, ["bo", "ida"], "answers")
        accounts.note_look(own, ["bo"], "answers")
    clock.now += timedelta(days=1)
    accounts.note_look(person, ["bo"], "answers")
    assert [(one.name, one.role, one.what, str(one.day)) for one in accounts.looks("bo")] == [
        ("Rowena", "owner", "answers", "2026-03-03"), ("Rowena", "owner", "answers", "2026-03-02"),
    ]  # fmt: skip
    assert len(accounts.looks("ida")) == 1


def test_none_of_it_changes_what_figures_are_made_from(accounts: Accounts) -> None:
    before = accounts._store.revision
    person = accounts.person(owner(accounts))
    assert person is not None
    accounts.note_look(person, ["bo"], "answers")
    accounts.invite("Dr Penrose", "bo", ["load"], 3)
    assert accounts._store.revision == before


def test_undoing_a_roster_keeps_the_person_of_an_account(accounts: Accounts) -> None:
    owner(accounts)
    accounts.add("Ida", "athlete", OTHER, athlete_id="ida")
    accounts._store.undo_import("1")
    assert accounts._store.athletes()["athlete_id"].to_list() == ["ida"]


def test_cookies_are_signed_with_one_secret_for_good(accounts: Accounts, clock: Clock) -> None:
    secret = accounts.cookie_secret()
    assert len(secret) == 32
    assert Accounts(accounts._store, clock).cookie_secret() == secret


def test_each_role_is_said_in_words() -> None:
    assert set(ROLE_WORDS) == set(ROLES)


def test_another_role_ends_every_session_and_the_last_owner_stays_one(accounts: Accounts) -> None:
    owner(accounts)
    accounts.add("Bo", "coach", OTHER)
    token = accounts.sign_in("Bo", OTHER, address="here")
    with pytest.raises(SettingError, match="Rowena is the only owner"):
        accounts.change_role("Rowena", "coach")
    with pytest.raises(SettingError, match="names no athlete"):
        accounts.change_role("Bo", "athlete")
    with pytest.raises(StoreError, match="not in the squad: nobody"):
        accounts.change_role("Bo", "athlete", athlete_id="nobody")
    assert accounts.person(token) is not None
    accounts.change_role("Bo", "athlete", athlete_id="bo")
    assert accounts.person(token) is None
    changed = accounts.named("Bo")
    assert (changed.role, changed.athlete_id) == ("athlete", "bo")
    accounts.change_role("Bo", "owner")
    accounts.change_role("Rowena", "programmer")
    assert [(one.name, one.role, one.athlete_id) for one in accounts.everybody()] == [
        ("Bo", "owner", None), ("Rowena", "programmer", None),
    ]  # fmt: skip
