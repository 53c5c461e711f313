"""Passwords stolen elsewhere are refused from a list on this machine, however large it is."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from keelmark.contracts.errors import SettingError
from keelmark.service.breached import BREACHED_FILE, is_breached
from keelmark.service.passwords import check_new_password


@pytest.mark.parametrize(("ending", "count"), [("\n", ":7"), ("\r\n", ""), ("\n", ":12345678")])
@pytest.mark.parametrize("size", [1, 2, 5, 3_000])
def test_each_line_is_found_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int, ending: str, count: str
) -> None:
    listed = [f"stolen password {number}" for number in range(size)]
    digests = sorted(hashlib.sha1(one.encode()).hexdigest().upper() + count for one in listed)
    place = tmp_path / "stolen"
    place.write_bytes(ending.join([*digests, ""]).encode())
    monkeypatch.setenv(BREACHED_FILE, str(place))
    assert all(is_breached(one) for one in listed[:: max(1, size // 200)])
    assert is_breached(listed[-1])
    assert not any(is_breached(f"another password {number}") for number in range(100))
    with pytest.raises(SettingError, match="stolen elsewhere"):
        check_new_password(listed[0])


def test_a_digest_published_for_a_password_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """FIPS 180-4 example: SHA-1 of 'abc' is A9993E36 4706816A BA3E2571 7850C26C 9CD0D89D."""
    place = tmp_path / "stolen"
    place.write_text("A9993E364706816ABA3E25717850C26C9CD0D89D:3\n", encoding="ascii")
    monkeypatch.setenv(BREACHED_FILE, str(place))
    assert is_breached("abc")


def test_without_a_list_nothing_is_looked_up_and_a_missing_one_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(BREACHED_FILE, raising=False)
    assert not is_breached("abc")
    monkeypatch.setenv(BREACHED_FILE, "/nowhere/stolen")
    with pytest.raises(SettingError, match="cannot be read"):
        is_breached("abc")
