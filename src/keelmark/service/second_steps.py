"""Pairing an app as a second step of signing in, its recovery codes, and of whom the squad demands one."""

from __future__ import annotations

from collections.abc import Iterable

from keelmark.contracts.errors import SettingError
from keelmark.service.account_rules import name_key
from keelmark.service.code_app import app_address, new_recovery_codes, new_secret, recovery_hash, spaced
from keelmark.service.person import GUEST, ROLES, Person
from keelmark.service.signing_in import DEMANDED, PAIR, WAITING, SigningIn, hashed
from keelmark.store.access import Account

__all__ = ["SecondSteps"]

_SQUAD = "keelmark"


class SecondSteps(SigningIn):
    """The part of a squad's accounts that knows second steps."""

    def begin_pairing(self, person: Person, password: str, *, address: str) -> tuple[str, str]:
        """Give one's app a secret that counts once a code of it was seen: the secret to type, and its address.

        Raises
        ------
        SettingError
            When the password is not right, was tried too often, or there is a second step already.
        """
        account = self.own_account(person, password, address=address)
        if self.has_second_step(account.account_id):
            raise SettingError(
                "an app is paired already",
                where="second step",
                wanted="no paired app",
                remedy="take that one away first",
            )
        return self._new_pairing(account)

    def pairing(self, account_id: int) -> tuple[str, str] | None:
        """The secret and the address of a pairing that waits for its first code."""
        held, account = self._store.second_step(account_id), self._store.account(account_id)
        if held is None or account is None or held.confirmed_at is not None:
            return None
        if self._clock() - held.created_at >= WAITING:
            return None
        secret = self._seal.open(held.secret).decode()
        return spaced(secret), app_address(secret, account.name, _SQUAD)

    def confirm_pairing(self, person: Person, code: str, *, address: str, token: str) -> list[str]:
        """Let the second step count, as the app shows this code: recovery codes, which are told once.

        Raises
        ------
        SettingError
            When the code is not right or was tried too often, or nothing waits to be paired.
        """
        account = self._store.account(person.account_id) if person.account_id is not None else None
        codes = None if account is None else self._confirmed(account, code, address, keep=hashed(token))
        if codes is None:
            raise _wrong_code()
        return codes

    def sign_in_pairing(self, token: str) -> tuple[str, str] | None:
        """What the app of somebody who must pair one before coming in is given; None when their session is over."""
        account = self.waiting_account(token, PAIR)
        if account is None:
            return None
        return self.pairing(account.account_id) or self._new_pairing(account)

    def pass_pairing(self, token: str, code: str, *, address: str) -> tuple[str, list[str]] | None:
        """Pair the app on the way in: another token and recovery codes; None when the code is not right."""
        account = self.waiting_account(token, PAIR)
        codes = None if account is None else self._confirmed(account, code, address, keep=None)
        if account is None or codes is None:
            return None
        return self._opened(account.role, account_id=account.account_id), codes

    def _new_pairing(self, account: Account) -> tuple[str, str]:
        secret = new_secret()
        self._store.begin_second_step(account.account_id, self._seal.close(secret.encode()))
        return spaced(secret), app_address(secret, account.name, _SQUAD)

    def _confirmed(self, account: Account, code: str, address: str, *, keep: str | None) -> list[str] | None:
        if self.pairing(account.account_id) is None:
            return None
        noted = self._noted(name_key(account.name), address)
        if noted is None or not self._app_code_is_right(account.account_id, code):
            return None
        self._store.sign_in_worked(noted)
        codes = new_recovery_codes()
        self._store.confirm_second_step(account.account_id, [recovery_hash(one) for one in codes], keep=keep)
        return codes

    # Recovery codes, and another phone

    def recovery_codes_left(self, person: Person) -> int:
        """How many recovery codes somebody has not used."""
        return self._store.recovery_codes_left(person.account_id) if person.account_id is not None else 0

    def renew_recovery_codes(self, person: Person, password: str, *, address: str) -> list[str]:
        """Other recovery codes in place of all former ones; they are told once.

        Raises
        ------
        SettingError
            When the password is not right or was tried too often, or there is no second step.
        """
        account = self.own_account(person, password, address=address)
        if not self.has_second_step(account.account_id):
            raise _wrong_code()
        codes = new_recovery_codes()
        self._store.replace_recovery_codes(account.account_id, [recovery_hash(one) for one in codes])
        return codes

    def unpair(self, person: Person, password: str, *, address: str, token: str) -> None:
        """Take one's own second step away; one's other sessions end.

        Raises
        ------
        SettingError
            When the password is not right or was tried too often, or the squad demands the second step.
        """
        account = self.own_account(person, password, address=address)
        if account.role in self.demanded_of():
            raise SettingError(
                f"a second step is demanded of every {account.role} here",
                where="second step",
                wanted="a paired app",
                remedy="for another phone, ask the owner to take the paired app away; then pair the new one",
            )
        self._store.remove_second_step(account.account_id, keep=hashed(token))

    def unpair_account(self, name: str) -> None:
        """Take somebody's second step away, as their phone and codes are lost; they are signed out everywhere."""
        self._store.remove_second_step(self.named(name).account_id)

    # Of whom it is demanded

    def demand(self, roles: Iterable[str], *, by: Person | None = None) -> None:
        """Demand a second step of these roles and of no others; who has none is signed out and pairs an app next time.

        Raises
        ------
        SettingError
            When there is no such role, or whoever demands it has none themselves and would be shut out at once.
        """
        chosen = sorted(set(roles))
        unknown = [role for role in chosen if role not in ROLES or role == GUEST]
        if unknown:
            raise SettingError(
                f"there is no account of a {unknown[0]!r}",
                where="second step",
                wanted="owner, coach, programmer or athlete",
                remedy="choose among these",
            )
        having = self._store.confirmed_second_steps()
        if by is not None and by.role in chosen and by.account_id not in having:
            raise SettingError(
                "you have no second step yourself and would be signed out at once",
                where="second step",
                wanted="your own app paired first",
                remedy="pair your app on your account page, then demand it here",
            )
        self._store.set_setting(DEMANDED, chosen, by.name if by is not None else None)
        for one in self._store.accounts():
            if one.role in chosen and one.account_id not in having:
                self._store.end_sessions_of(one.account_id)

    def paired(self) -> set[int]:
        """Keys of the accounts that have a second step."""
        return self._store.confirmed_second_steps()


def _wrong_code() -> SettingError:
    return SettingError(
        "the code is not right, was used before or was tried too often",
        where="code",
        wanted="the six figures that the app shows now",
        remedy="wait for the next figures and type those; look whether the clock of your phone is right",
    )
