"""People's rights over what is kept of them: consents given and withdrawn, and erasing somebody."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.records import CONSENT
from keelmark.store import people
from keelmark.store.access_schema import look
from keelmark.store.door import Door
from keelmark.store.erasing import Erased, Subject, erase, rewrite_file, traces
from keelmark.store.health_schema import health_check_in, health_complaint_decision, health_return_plan
from keelmark.store.rights_schema import consent, erasure, guardian
from keelmark.store.rows import table_columns

__all__ = ["Guardian", "RightsRecords"]

_SAID = (health_check_in, health_complaint_decision, health_return_plan)


@dataclass(frozen=True, slots=True)
class Guardian:
    """Who agrees for somebody under age, up to and including a day."""

    athlete_id: str
    name: str
    until: date


class RightsRecords(Door):
    """The part of a store that knows what people agreed to, and that can forget them."""

    def consents(self, athlete: str | None = None) -> pl.DataFrame:
        """Consents, oldest first, withdrawn ones too: the CONSENT frame."""
        query = sa.select(*table_columns(consent, CONSENT)).order_by(consent.c.consent_id)
        if athlete is not None:
            query = query.where(consent.c.athlete_id == athlete)
        return self._frame(query, CONSENT)

    def last_words(self, purpose: str) -> dict[str, tuple[str, bool]]:
        """Who said something last on a purpose and whether it stands, by athlete."""
        columns = (consent.c.athlete_id, consent.c.given_by, consent.c.withdrawn_at)
        query = sa.select(*columns).where(consent.c.purpose == purpose).order_by(consent.c.consent_id)
        with self._reading() as connection:
            return {row.athlete_id: (row.given_by, row.withdrawn_at is None) for row in connection.execute(query)}

    def record_consent(
        self,
        athlete_id: str,
        purpose: str,
        *,
        given_by: str,
        fields: Sequence[str],
        given_on: date,
        given_to: str | None = None,
    ) -> str:
        """Record what an athlete, or a guardian, agreed to; gives its key."""
        said = {
            "athlete_id": athlete_id, "purpose": purpose, "given_by": given_by, "given_to": given_to,
            "fields": list(fields), "given_on": given_on,
        }  # fmt: skip
        with self._writing() as connection:
            people.refuse_unknown_people(connection, [athlete_id], where="consent")
            return self._append(connection, consent, said)

    def withdraw_consent(self, consent_id: str) -> str:
        """Take a consent back; that it was given stays on record. Gives its key.

        Raises
        ------
        StoreError
            When there is none of that key, or it was withdrawn before.
        """
        number = int(consent_id) if consent_id.isdecimal() and len(consent_id) < 10 else 0
        open_one = (consent.c.consent_id == number) & consent.c.withdrawn_at.is_(None)
        with self._writing() as connection:
            done = connection.execute(consent.update().where(open_one).values(withdrawn_at=self._clock()))
            if not done.rowcount:
                raise StoreError(
                    f"there is no consent '{consent_id}' that stands",
                    where="consents",
                    wanted="the key of a consent that was not withdrawn",
                    remedy="look the key up in the list of consents",
                )
        return consent_id

    def note_guardian(self, athlete_id: str, name: str, until: date) -> str:
        """Record who agrees for somebody under age and until when; the last such record of an athlete stands."""
        with self._writing() as connection:
            people.refuse_unknown_people(connection, [athlete_id], where="guardian")
            return self._append(connection, guardian, {"athlete_id": athlete_id, "name": name, "until": until})

    def guardians(self) -> dict[str, Guardian]:
        """Who agrees for whom, by athlete; past days included."""
        columns = (guardian.c.athlete_id, guardian.c.name, guardian.c.until)
        with self._reading() as connection:
            rows = connection.execute(sa.select(*columns).order_by(guardian.c.guardian_id))
            return {row.athlete_id: Guardian(*row) for row in rows}

    def guardians_of(self, athlete_id: str) -> list[Guardian]:
        """Every record of who agrees for one athlete, oldest first; the last one stands."""
        columns = (guardian.c.athlete_id, guardian.c.name, guardian.c.until)
        asked = sa.select(*columns).where(guardian.c.athlete_id == athlete_id).order_by(guardian.c.guardian_id)
        with self._reading() as connection:
            return [Guardian(*row) for row in connection.execute(asked)]

    def tidy(
        self, *, answers_before: datetime | None, looks_before: datetime | None, remove: bool = False
    ) -> dict[str, int]:
        """Rows older than what is kept, by table; with `remove` they are deleted, as one transaction.

        Parameters
        ----------
        answers_before : datetime, optional
            What was said about bodies, and decided or planned upon it, goes when it was recorded before.
        looks_before : datetime, optional
            Who has looked goes when it was noted before.
        remove : bool
            Delete the rows; otherwise they are only counted.
        """
        past = [(table, answers_before) for table in _SAID] + [(look, looks_before)]
        with self._writing() if remove else self._reading() as connection:
            found = {}
            for table, moment in past:
                if moment is not None:
                    old = table.c.created_at < moment
                    count = sa.select(sa.func.count()).select_from(table).where(old)
                    found[table.name] = int(connection.execute(count).scalar_one())
                    if remove:
                        connection.execute(table.delete().where(old))
        return found

    def erase_athlete(self, athlete_id: str) -> Erased:
        """Remove everything that is kept of an athlete, as one transaction, and look for what is left.

        Rows of theirs are deleted in every table. Originals that hold others' rows too are kept with theirs blanked;
        where that cannot be done the original goes as a whole. Their name in anybody's words is replaced by dots. The
        file is then written anew, so that nothing stays in its free pages.

        Scope: what left this store before stays where it is: backups, archives, papers, files on the coach's disk.

        Returns
        -------
        Erased
            What was removed, in numbers, and what a search of every table found afterwards.

        Raises
        ------
        StoreError
            When nobody of that key is in the squad, or something of theirs would be left; nothing is changed then.
        """
        with self._writing() as connection:
            people.refuse_unknown_people(connection, [athlete_id], where="erasing")
            subject = Subject.of(connection, athlete_id)
            done = erase(connection, subject)
            left = traces(connection, subject)
            if left:
                raise StoreError(
                    "something of this person would be left in " + ", ".join(sorted(left)),
                    where="erasing",
                    wanted="every table free of the person",
                    remedy="nothing was changed; report this message, which names no one",
                )
            self._append(connection, erasure, {"did": json.dumps(asdict(done), sort_keys=True)})
        return done.with_rewritten(rewrite_file(self._engine))

    def write_anew(self) -> bool:
        """Write the database anew without free pages; False where another program has it open."""
        return rewrite_file(self._engine)

    def erasures(self) -> list[Erased]:
        """Every erasure, oldest first, in numbers; nothing in it tells who it was."""
        query = sa.select(erasure.c.did).order_by(erasure.c.erasure_id)
        with self._reading() as connection:
            return [Erased(**json.loads(did)) for did in connection.execute(query).scalars()]
