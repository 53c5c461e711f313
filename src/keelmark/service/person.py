"""Who is asking: a person with a role, and what each role is called."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "ATHLETE", "COACH", "EVERYBODY_HERE", "GUEST", "GUEST_FIELDS", "OWNER", "PROGRAMMER", "ROLES",
    "ROLE_WORDS", "Person",
]  # fmt: skip

OWNER, COACH, PROGRAMMER, ATHLETE, GUEST = "owner", "coach", "programmer", "athlete", "guest"
ROLES = (OWNER, COACH, PROGRAMMER, ATHLETE, GUEST)
ROLE_WORDS = {
    OWNER: "keeps the squad's data and its accounts, and sees what a coach sees",
    COACH: "sees the squad, each athlete and what athletes say about their bodies",
    PROGRAMMER: "writes the programme and sees loads; sees nothing that athletes say about their bodies",
    ATHLETE: "sees their own rows only",
    GUEST: "sees chosen things of one athlete for a while, by a link",
}
GUEST_FIELDS = {
    "load": "what was done, week by week",
    "complaints": "what the athlete said about their body",
}
"""What a guest may be shown; each is chosen for itself."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who asks for something, as far as keelmark knows.

    `athlete_id` binds athletes and guests to the rows of one athlete; `fields` says what a guest may see of them;
    `key` names the account or link behind it, and is empty where there are no accounts.
    """

    name: str
    role: str
    athlete_id: str | None = None
    fields: frozenset[str] = frozenset()
    key: str = ""

    @property
    def account_id(self) -> int | None:
        """The key of the account, where there is one."""
        kind, _, number = self.key.partition(":")
        return int(number) if kind == "account" else None

    @property
    def reads_health(self) -> bool:
        """Whether this person may read what somebody else, or they themselves, said about a body."""
        return self.role in (OWNER, COACH, ATHLETE) or "complaints" in self.fields

    def concerns(self, athlete_id: str | None) -> bool:
        """Whether rows of this athlete are any of this person's business; None stands for the whole squad."""
        return self.athlete_id is None or self.athlete_id == athlete_id


EVERYBODY_HERE = Person("everybody at this machine", OWNER)
"""Who asks while there are no accounts."""
