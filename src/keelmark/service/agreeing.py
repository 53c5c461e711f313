"""What athletes agree to, purpose by purpose, who agrees for those under age, and how long anything is kept.

A hand-over to somebody outside has a consent of its own each time; see `keelmark.service.handing_over`. Nobody's
pregnancy or illness is ever worked out from figures: such words stand here only where somebody has written them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.service.open_squad import OpenSquad
from keelmark.store import Store
from keelmark.store.rights import Guardian

__all__ = [
    "ANSWERS", "PURPOSES", "QUESTION", "Agreeing", "Agreement", "Past", "refuse_after_no", "refuse_other_than_guardian",
    "refuse_unless_agreed", "those_who_said_no",
]  # fmt: skip

ANSWERS, QUESTION = "answers", "question"
PURPOSES = {
    ANSWERS: "what they say about their body is kept, and read by the squad's coaches",
    QUESTION: "their answers count when it is asked whether complaints follow weeks with more work",
}
"""What can be agreed to, once for good; a hand-over is agreed to each time."""
_OF_AGE = 18
_LONGEST_NAME = 80
_SAID_NO = "{who} has said no to answers about the body being kept"


@dataclass(frozen=True, slots=True)
class Agreement:
    """Where an athlete stands on a purpose: `given`, `withdrawn` or `not asked`, by whom and when."""

    purpose: str
    state: str
    given_by: str = ""
    on: dt.date | None = None

    @property
    def words(self) -> str:
        """The purpose in words."""
        return PURPOSES[self.purpose]


@dataclass(frozen=True, slots=True)
class Past:
    """What is older than the squad keeps it: rows by table, and keys of people who left long ago."""

    rows: dict[str, int]
    people: tuple[str, ...]


def those_who_said_no(store: Store, purpose: str) -> set[str]:
    """Keys of athletes whose last word on a purpose was no."""
    return {athlete_id for athlete_id, (_, stands) in store.last_words(purpose).items() if not stands}


def refuse_after_no(store: Store, athlete_id: str) -> None:
    """Refuse to keep what is planned or decided about the body of somebody who has said no.

    Raises
    ------
    RefusedInput
        Naming whose.
    """
    if athlete_id in those_who_said_no(store, ANSWERS):
        raise _refused(_SAID_NO.format(who=athlete_id), athlete_id)


def refuse_unless_agreed(store: Store, athlete_ids: set[str], today: dt.date) -> None:
    """Refuse to keep answers about the body of somebody who has said no, or has yet to be asked.

    Raises
    ------
    RefusedInput
        Naming whose answers, and who has to agree.
    """
    last = store.last_words(ANSWERS)
    under_age = {key: one for key, one in store.guardians().items() if today <= one.until}
    ask_first = bool(store.settings().get("ask_first"))
    for athlete_id in sorted(athlete_ids):
        given_by, stands = last.get(athlete_id, (None, False))
        guardian = under_age.get(athlete_id)
        if given_by is not None and not stands:
            raise _refused(_SAID_NO.format(who=athlete_id), athlete_id)
        if guardian is not None and given_by is None:
            raise _refused(f"{athlete_id} is under age, and {guardian.name} has not agreed", guardian.name)
        if given_by is not None:
            refuse_other_than_guardian(store, athlete_id, given_by, today)
        if ask_first and not stands:
            raise _refused(f"{athlete_id} has not agreed yet to answers about the body being kept", athlete_id)


def refuse_other_than_guardian(store: Store, athlete_id: str, given_by: str, today: dt.date) -> None:
    """Refuse an agreement for somebody under age that is not the guardian's; several names may stand together.

    Raises
    ------
    RefusedInput
        Naming the guardian.
    """
    guardian = _guardian(store, athlete_id, today)
    if guardian is not None and " ".join(guardian.name.split()).casefold() not in " ".join(given_by.split()).casefold():
        raise _refused(f"{given_by} agreed for {athlete_id}, who is under age", guardian.name)


def _guardian(store: Store, athlete_id: str, today: dt.date) -> Guardian | None:
    found = store.guardians().get(athlete_id)
    return found if found is not None and today <= found.until else None


class Agreeing(OpenSquad):
    """The part of a squad that holds what people agreed to and how long anything is kept."""

    def agreements(self, athlete_id: str) -> list[Agreement]:
        """Where an athlete stands on each purpose."""
        consents = self._store.consents(athlete_id)
        return [_agreement(consents, purpose) for purpose in PURPOSES]

    def agree(self, athlete_id: str, purpose: str, *, given_by: str, given_on: dt.date | None = None) -> str:
        """Record that an athlete, or for somebody under age the guardian, agreed to a purpose; gives its key.

        Raises
        ------
        SettingError
            When there is no such purpose.
        RefusedInput
            When nobody is named, the day lies ahead, or somebody other than the guardian agreed.
        """
        _check_purpose(purpose)
        who, today = _checked_name(given_by, "agreement"), self._today()
        refuse_other_than_guardian(self._store, athlete_id, who, today)
        day = given_on or today
        if day > today:
            raise RefusedInput(
                f"{day.isoformat()} lies ahead", where="agreement", wanted="today or a day that is past",
                remedy="give the day on which it was said",
            )  # fmt: skip
        return self._beside_figures(
            lambda: self._store.record_consent(athlete_id, purpose, given_by=who, fields=[], given_on=day)
        )

    def say_no(self, athlete_id: str, purpose: str, *, given_by: str) -> None:
        """Take an agreement back, or say no before having been asked: what follows from it is gone at once.

        The words that were said stay for the athlete's own archive until they are erased or past their time; nothing
        shows, counts or hands over any of them.
        """
        _check_purpose(purpose)
        who = _checked_name(given_by, "agreement")
        standing = self._store.consents(athlete_id).filter(
            (pl.col("purpose") == purpose) & pl.col("withdrawn_at").is_null()
        )
        keys = standing["consent_id"].to_list()
        if not keys:
            keys = [self._store.record_consent(athlete_id, purpose, given_by=who, fields=[], given_on=self._today())]
        for key in keys:
            self._store.withdraw_consent(key)

    def guardian(self, athlete_id: str) -> Guardian | None:
        """Who agrees for an athlete under age today; None for everybody else."""
        return _guardian(self._store, athlete_id, self._today())

    def note_guardian(self, athlete_id: str, name: str, until: dt.date) -> None:
        """Record who agrees for an athlete, up to the day before they come of age.

        Raises
        ------
        RefusedInput
            When nobody is named or the day is none on which somebody comes of age.
        """
        who, today = _checked_name(name, "guardian"), self._today()
        if not today <= until <= today.replace(day=1, year=today.year + _OF_AGE):
            raise RefusedInput(
                f"{until.isoformat()} was given", where="guardian", wanted=f"a day within the next {_OF_AGE} years",
                remedy="give the last day on which somebody else agrees",
            )  # fmt: skip
        self._beside_figures(lambda: self._store.note_guardian(athlete_id, who, until))

    def past_its_time(self) -> Past:
        """What is older than the squad's settings keep it; nothing is changed."""
        return Past(self._tidy(remove=False), tuple(self._left_long_ago()))

    def remove_past(self) -> Past:
        """Remove it, and say what was removed; people who left long ago are erased one by one, each with its proof."""
        people = tuple(self._left_long_ago())
        rows = self._tidy(remove=True)
        for athlete_id in people:
            self._store.erase_athlete(athlete_id)
        return Past(rows, people)

    def _tidy(self, *, remove: bool) -> dict[str, int]:
        answers, looks = self._before("keep_answers"), self._before("keep_looks")
        return self._store.tidy(answers_before=answers, looks_before=looks, remove=remove)

    def _before(self, setting: str) -> dt.datetime | None:
        months = int(self.settings().get(setting) or 0)
        if not months:
            return None
        day = _months_back(self._today(), months)
        return dt.datetime(day.year, day.month, day.day, tzinfo=dt.UTC)

    def _left_long_ago(self) -> list[str]:
        before = self._before("keep_left")
        if before is None:
            return []
        return self._store.athletes().filter(pl.col("left") < before.date())["athlete_id"].to_list()


def _agreement(consents: pl.DataFrame, purpose: str) -> Agreement:
    said = consents.filter(pl.col("purpose") == purpose)
    if said.is_empty():
        return Agreement(purpose, "not asked")
    row = said.row(-1, named=True)
    if row["withdrawn_at"] is not None:
        return Agreement(purpose, "withdrawn", row["given_by"], row["withdrawn_at"].date())
    return Agreement(purpose, "given", row["given_by"], row["given_on"])


def _months_back(day: dt.date, months: int) -> dt.date:
    place = day.year * 12 + day.month - 1 - months
    return dt.date(place // 12, place % 12 + 1, min(day.day, 28))


def _checked_name(name: str, where: str) -> str:
    shown = " ".join(name.split())
    if not shown or len(shown) > _LONGEST_NAME or not shown.isprintable():
        raise RefusedInput(
            "nobody is named, or the name cannot be read", where=where,
            wanted=f"1 to {_LONGEST_NAME} letters and signs", remedy="write who said it",
        )  # fmt: skip
    return shown


def _check_purpose(purpose: str) -> None:
    if purpose not in PURPOSES:
        raise SettingError(
            f"there is no purpose {purpose!r}",
            where="agreement",
            wanted="one of " + ", ".join(PURPOSES),
            remedy="choose what was agreed to; a hand-over is agreed to where it is made",
        )


def _refused(found: str, who: str) -> RefusedInput:
    return RefusedInput(
        found,
        where="answers about the body",
        wanted="a yes that stands, of the athlete or of the guardian of somebody under age",
        remedy=f"ask {who}, and record a yes with `keelmark privacy agree`",
    )
