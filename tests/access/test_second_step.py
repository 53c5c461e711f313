"""The second step: codes by the published vectors, used once, throttled, sealed, and asked for where it is demanded."""

from __future__ import annotations

import base64
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pyotp
import pytest

from keelmark.contracts.errors import SettingError
from keelmark.service.accounts import FIRST_PASSWORD, Accounts
from keelmark.service.code_app import (
    RECOVERY_CODES,
    code_number,
    code_picture,
    new_recovery_codes,
    new_secret,
    recovery_hash,
)
from keelmark.service.person import Person
from keelmark.service.sealing import KEY_FILE, Seal, new_key, seal_of_this_machine
from keelmark.service.signing_in import CODE, PAIR, PASSWORD, SESSIONS, TRIES, WAITING, WINDOW
from keelmark.store import Store
from tests.access.test_accounts import Clock
from tests.store.made import save, squad

MINE = "four dry ropes on deck"
OTHER = "kettle beside the winch"
HERE = "127.0.0.1"
RFC_SECRET = base64.b32encode(b"12345678901234567890").decode()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def accounts(address: str, clock: Clock) -> Iterator[Accounts]:
    with Store.open(address, clock=clock) as store:
        save(store, athletes=squad("bo", "ida"))
        made = Accounts(store, clock)
        made.add("Rowena", "owner", MINE)
        yield made


def come_in(accounts: Accounts, name: str = "Rowena", password: str = MINE) -> tuple[str, Person | None]:
    token = accounts.sign_in(name, password, address=HERE)
    assert token is not None
    return token, accounts.person(token)


def paired(accounts: Accounts, clock: Clock) -> tuple[pyotp.TOTP, list[str]]:
    """Pair an app for the owner; gives the app and the recovery codes."""
    token, person = come_in(accounts)
    assert person is not None
    secret, _ = accounts.begin_pairing(person, MINE, address=HERE)
    app = pyotp.TOTP(secret.replace(" ", ""))
    codes = accounts.confirm_pairing(person, app.at(clock.now), address=HERE, token=token)
    assert accounts.person(token) is not None, "the session that paired it stays"
    clock.now += timedelta(minutes=1)
    return app, codes


# Codes


@pytest.mark.parametrize(
    ("seconds", "printed"),
    [(59, "94287082"), (1111111109, "07081804"), (1111111111, "14050471"), (1234567890, "89005924"),
     (2000000000, "69279037"), (20000000000, "65353130")],
)  # fmt: skip
def test_codes_are_those_of_the_published_table(seconds: int, printed: str) -> None:
    """RFC 6238, appendix B, SHA-1. Six figures are the last six of its eight (RFC 4226, section 5.3: modulo 10^6)."""
    moment = datetime.fromtimestamp(seconds, UTC)
    assert code_number(RFC_SECRET, printed[2:], moment, after=0) == seconds // 30
    wrong = f"{(int(printed) + 1) % 10**6:06d}"
    assert code_number(RFC_SECRET, wrong, moment, after=0) is None


@pytest.mark.parametrize(("late", "taken"), [(-60, False), (-30, True), (0, True), (30, True), (60, False)])
def test_one_half_minute_before_and_after_is_taken(late: int, taken: bool) -> None:
    """RFC 6238, section 5.2: at most one step for the way; appendix B's code of second 1111111109."""
    moment = datetime.fromtimestamp(1111111109 + late, UTC)
    assert (code_number(RFC_SECRET, "081 804", moment, after=0) is not None) == taken


def test_a_code_that_was_used_is_not_taken_again() -> None:
    moment = datetime.fromtimestamp(1111111109, UTC)
    used = code_number(RFC_SECRET, "081804", moment, after=0)
    assert used is not None
    assert code_number(RFC_SECRET, "081804", moment, after=used) is None


@pytest.mark.parametrize("typed", ["", "08180", "0818040", "abcdef", "٠٨١٨٠٤", "\u202e081804", "0" * 10_000])
def test_anything_else_than_the_code_is_not_taken(typed: str) -> None:
    assert code_number(RFC_SECRET, typed, datetime.fromtimestamp(1111111109, UTC), after=0) is None


def test_secrets_and_recovery_codes_are_drawn_long_enough() -> None:
    """160 bits for an app (RFC 4226, section 4, R6); at least 112 bits where a plain hash is kept (ASVS 6.5.2)."""
    secrets = {new_secret() for _ in range(50)}
    assert len(secrets) == 50
    assert all(len(base64.b32decode(secret)) * 8 == 160 for secret in secrets)
    codes = [code for _ in range(10) for code in new_recovery_codes()]
    assert len(set(codes)) == 10 * RECOVERY_CODES
    assert all(len(base64.b32decode(code.replace("-", "").upper())) * 8 >= 112 for code in codes)


def test_the_picture_is_drawn_here_and_says_what_the_app_needs(accounts: Accounts) -> None:
    _, person = come_in(accounts)
    assert person is not None
    secret, told = accounts.begin_pairing(person, MINE, address=HERE)
    parts = urlsplit(told)
    assert (parts.scheme, parts.netloc, parts.path) == ("otpauth", "totp", "/keelmark:Rowena")
    assert parse_qs(parts.query)["secret"] == [secret.replace(" ", "")]
    drawn = ET.fromstring(code_picture(told))
    assert drawn.tag == "{http://www.w3.org/2000/svg}svg"
    assert all("href" not in one.attrib and not one.tag.endswith(("script", "image")) for one in drawn.iter())


# Coming in


def test_with_a_second_step_the_password_alone_opens_nothing(accounts: Accounts, clock: Clock) -> None:
    app, _ = paired(accounts, clock)
    token, person = come_in(accounts)
    assert person is None
    assert accounts.waits_for(token) == CODE
    assert accounts.pass_code(token, "000000" if app.at(clock.now) != "000000" else "111111", address=HERE) is None
    onward = accounts.pass_code(token, app.at(clock.now), address=HERE)
    assert onward is not None
    assert accounts.person(onward) is not None
    assert accounts.waits_for(onward) is None
    assert accounts.waits_for(token) is None, "the waiting session is over"
    assert accounts.person(token) is None


def test_a_code_that_let_somebody_in_lets_nobody_in_again(accounts: Accounts, clock: Clock) -> None:
    app, _ = paired(accounts, clock)
    code = app.at(clock.now)
    first, second = come_in(accounts)[0], come_in(accounts)[0]
    assert accounts.pass_code(first, code, address=HERE) is not None
    assert accounts.pass_code(second, code, address=HERE) is None
    clock.now += timedelta(seconds=30)
    assert accounts.pass_code(second, app.at(clock.now), address=HERE) is not None


def test_the_code_that_paired_the_app_lets_nobody_in(accounts: Accounts, clock: Clock) -> None:
    token, person = come_in(accounts)
    assert person is not None
    secret, _ = accounts.begin_pairing(person, MINE, address=HERE)
    code = pyotp.TOTP(secret.replace(" ", "")).at(clock.now)
    accounts.confirm_pairing(person, code, address=HERE, token=token)
    assert accounts.pass_code(come_in(accounts)[0], code, address=HERE) is None


def test_a_recovery_code_opens_the_door_once_however_it_is_typed(accounts: Accounts, clock: Clock) -> None:
    _, codes = paired(accounts, clock)
    assert len(codes) == RECOVERY_CODES
    first, second = come_in(accounts)[0], come_in(accounts)[0]
    onward = accounts.pass_code(first, f"  {codes[0].replace('-', ' ').upper()} ", address=HERE)
    person = accounts.person(onward)
    assert person is not None
    assert accounts.recovery_codes_left(person) == RECOVERY_CODES - 1
    assert accounts.pass_code(second, codes[0], address=HERE) is None
    assert accounts.pass_code(second, codes[1], address=HERE) is not None


def test_recovery_codes_are_kept_as_hashes_and_secrets_sealed(
    address: str, clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    key = tmp_path / "key"
    key.write_text(new_key(), encoding="ascii")
    monkeypatch.setenv(KEY_FILE, str(key))
    with Store.open(address, clock=clock) as store:
        accounts = Accounts(store, clock)
        accounts.add("Rowena", "owner", MINE)
        signed = accounts.cookie_secret()
        app, codes = paired(accounts, clock)
        with store._reading() as connection:
            rows = str([connection.exec_driver_sql(f"SELECT * FROM {table}").fetchall()
                        for table in ("second_step", "recovery_code", "access_secret")])  # fmt: skip
        assert app.secret not in rows
        assert not any(code in rows or code.replace("-", "") in rows for code in codes)
        assert repr(signed)[2:-1] not in rows
        assert recovery_hash(codes[0]) in rows
        assert Accounts(store, clock).cookie_secret() == signed
        key.write_text(new_key(), encoding="ascii")
        for other in (Seal(), seal_of_this_machine()):
            with pytest.raises(SettingError, match=r"a secret of this store is sealed and .* key"):
                Accounts(store, clock, other).cookie_secret()


def test_another_key_takes_over_while_the_old_one_still_opens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    key, old = tmp_path / "key", new_key()
    monkeypatch.setenv(KEY_FILE, str(key))
    key.write_text(old, encoding="ascii")
    before = seal_of_this_machine().close(b"mine")
    key.write_text(new_key() + old, encoding="ascii")
    both = seal_of_this_machine()
    assert both.open(before) == b"mine"
    after = both.close(b"mine")
    key.write_text(old, encoding="ascii")
    with pytest.raises(SettingError, match="another key"):
        seal_of_this_machine().open(after)


@pytest.mark.parametrize("text", [None, "", "hello\n", "AGE-SECRET-KEY-1NOT"])
def test_a_file_without_a_key_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str | None) -> None:
    place = tmp_path / "key"
    if text is not None:
        place.write_text(text, encoding="ascii")
    monkeypatch.setenv(KEY_FILE, str(place))
    with pytest.raises(SettingError, match="the file holds no key that can be read"):
        seal_of_this_machine()


def test_wrong_codes_are_counted_with_wrong_passwords(accounts: Accounts, clock: Clock) -> None:
    app, codes = paired(accounts, clock)
    token = come_in(accounts)[0]
    for _ in range(TRIES[0]):
        assert accounts.pass_code(token, "nothing", address=HERE) is None
    assert accounts.pass_code(token, app.at(clock.now), address=HERE) is None
    assert accounts.pass_code(token, codes[0], address=HERE) is None
    assert accounts.sign_in("Rowena", MINE, address=HERE) is None
    clock.now += WINDOW + timedelta(seconds=1)
    token = come_in(accounts)[0]
    assert accounts.pass_code(token, app.at(clock.now), address=HERE) is not None


def test_a_session_that_waits_ends_soon(accounts: Accounts, clock: Clock) -> None:
    app, _ = paired(accounts, clock)
    token = come_in(accounts)[0]
    clock.now += WAITING
    assert accounts.waits_for(token) is None
    assert accounts.pass_code(token, app.at(clock.now), address=HERE) is None


# Pairing, another phone


def test_pairing_asks_for_the_password_and_for_a_code_of_the_app(accounts: Accounts, clock: Clock) -> None:
    token, person = come_in(accounts)
    assert person is not None
    with pytest.raises(SettingError, match="the present password is not right"):
        accounts.begin_pairing(person, "wrong", address=HERE)
    accounts.begin_pairing(person, MINE, address=HERE)
    with pytest.raises(SettingError, match="the code is not right"):
        accounts.confirm_pairing(person, "000000", address=HERE, token=token)
    assert come_in(accounts)[1] is not None, "it does not count before a code was seen"
    assert not accounts.paired()
    clock.now += WAITING
    assert accounts.pairing(person.account_id or 0) is None, "nor is it shown for long"


def test_taking_the_app_away_asks_for_the_password_and_ends_other_sessions(accounts: Accounts, clock: Clock) -> None:
    app, codes = paired(accounts, clock)
    mine, other = (accounts.pass_code(come_in(accounts)[0], code, address=HERE) for code in codes[:2])
    person = accounts.person(mine)
    assert person is not None
    assert mine is not None
    with pytest.raises(SettingError, match="an app is paired already"):
        accounts.begin_pairing(person, MINE, address=HERE)
    renewed = accounts.renew_recovery_codes(person, MINE, address=HERE)
    assert accounts.pass_code(come_in(accounts)[0], codes[2], address=HERE) is None
    assert accounts.pass_code(come_in(accounts)[0], renewed[0], address=HERE) is not None
    with pytest.raises(SettingError, match="the present password is not right"):
        accounts.unpair(person, "wrong", address=HERE, token=mine)
    accounts.unpair(person, MINE, address=HERE, token=mine)
    assert accounts.person(mine) is not None
    assert accounts.person(other) is None
    assert come_in(accounts)[1] is not None
    assert accounts.recovery_codes_left(person) == 0
    assert app.at(clock.now)


def test_the_owner_takes_a_lost_app_away(accounts: Accounts, clock: Clock) -> None:
    _, codes = paired(accounts, clock)
    token = accounts.pass_code(come_in(accounts)[0], codes[0], address=HERE)
    accounts.unpair_account("Rowena")
    assert accounts.person(token) is None
    assert come_in(accounts)[1] is not None


# Of whom it is demanded


def test_who_must_have_one_pairs_an_app_on_the_way_in(accounts: Accounts, clock: Clock) -> None:
    accounts.add("Carys", "coach", OTHER)
    accounts.add("Bo", "athlete", "lantern under the table", athlete_id="bo")
    before, _ = come_in(accounts, "Carys", OTHER)
    _, owner = come_in(accounts)
    with pytest.raises(SettingError, match="you have no second step yourself"):
        accounts.demand(["owner", "coach"], by=owner)
    with pytest.raises(SettingError, match="there is no account of a 'guest'"):
        accounts.demand(["guest"], by=owner)
    accounts.demand(["coach", "programmer"], by=owner)
    assert accounts.demanded_of() == {"coach", "programmer"}
    assert accounts.person(before) is None, "who has none is signed out"
    assert come_in(accounts, "Bo", "lantern under the table")[1] is not None
    token, person = come_in(accounts, "Carys", OTHER)
    assert (person, accounts.waits_for(token)) == (None, PAIR)
    shown = accounts.sign_in_pairing(token)
    assert shown is not None
    assert accounts.sign_in_pairing(token) == shown, "loading the page again shows the same"
    assert accounts.pass_pairing(token, "000000", address=HERE) is None
    done = accounts.pass_pairing(token, pyotp.TOTP(shown[0].replace(" ", "")).at(clock.now), address=HERE)
    assert done is not None
    carys = accounts.person(done[0])
    assert carys is not None
    assert len(done[1]) == RECOVERY_CODES
    with pytest.raises(SettingError, match="a second step is demanded of every coach"):
        accounts.unpair(carys, OTHER, address=HERE, token=done[0])


# First passwords


def test_a_first_password_opens_the_way_to_one_s_own_and_nothing_else(accounts: Accounts, clock: Clock) -> None:
    accounts.add("Carys", "coach", OTHER, handed_over=True)
    token, person = come_in(accounts, "Carys", OTHER)
    assert (person, accounts.waits_for(token)) == (None, PASSWORD)
    with pytest.raises(SettingError, match="it is the first password again"):
        accounts.choose_password(token, OTHER)
    onward = accounts.choose_password(token, "lantern under the table")
    assert accounts.person(onward) is not None
    assert accounts.sign_in("Carys", OTHER, address=HERE) is None
    clock.now += 2 * FIRST_PASSWORD
    assert come_in(accounts, "Carys", "lantern under the table")[1] is not None


def test_a_first_password_runs_out(accounts: Accounts, clock: Clock) -> None:
    accounts.add("Carys", "coach", OTHER, handed_over=True)
    clock.now += FIRST_PASSWORD
    assert accounts.sign_in("Carys", OTHER, address=HERE) is None
    accounts.reset("Carys", "lantern under the table", handed_over=True)
    assert accounts.waits_for(accounts.sign_in("Carys", "lantern under the table", address=HERE)) == PASSWORD


def test_a_password_made_of_the_squad_s_names_is_refused(accounts: Accounts) -> None:
    """Names of athletes, groups, accounts and roles are as good as known."""
    for near in ("Bo Ida Rowena", "coach programmer", "rowenarowena1"):
        with pytest.raises(SettingError, match="is guessed quickly"):
            accounts.add("Carys", "coach", near)


# Sessions


def test_an_account_has_so_many_sessions_and_the_one_unused_longest_ends(accounts: Accounts, clock: Clock) -> None:
    tokens = []
    for _ in range(SESSIONS + 1):
        tokens.append(come_in(accounts)[0])
        clock.now += timedelta(minutes=1)
    assert accounts.person(tokens[0]) is None
    assert all(accounts.person(token) is not None for token in tokens[1:])


def test_sessions_are_listed_and_ended_one_by_one_or_all_but_this(accounts: Accounts, clock: Clock) -> None:
    mine, person = come_in(accounts)
    assert person is not None
    clock.now += timedelta(minutes=1)
    one, two = come_in(accounts)[0], come_in(accounts)[0]
    listed = accounts.sessions(person, mine)
    assert [here for _, _, here in listed] == [False, False, True]
    assert not any(token in str(listed) for token in (mine, one, two))
    accounts.end_session(person, listed[0][0], token=mine)
    assert [accounts.person(token) is None for token in (one, two)].count(True) == 1
    accounts.end_session(person, "", token=mine)
    assert [len(accounts.sessions(person, mine)), accounts.person(one), accounts.person(two)] == [1, None, None]


def test_renewed_secrets_sign_everybody_out_and_keep_paired_apps(
    accounts: Accounts, clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app, codes = paired(accounts, clock)
    token = accounts.pass_code(come_in(accounts)[0], codes[0], address=HERE)
    before = accounts.cookie_secret()
    key = tmp_path / "key"
    key.write_text(new_key(), encoding="ascii")
    monkeypatch.setenv(KEY_FILE, str(key))
    later = Accounts(accounts._store, clock)
    later.renew_secrets()
    assert later.cookie_secret() != before
    assert later.person(token) is None
    assert later.pass_code(come_in(later)[0], app.at(clock.now), address=HERE) is not None
