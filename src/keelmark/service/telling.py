"""What a squad tells: papers of a week, hand-overs, an athlete's archive; and forgetting somebody who asks for it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import polars as pl

from keelmark.contracts.errors import SettingError
from keelmark.contracts.records import CHECK_IN
from keelmark.load.calendar import monday_of_week
from keelmark.report import LANGUAGES, HandOver, Paper, hand_over_paper, quiet_message
from keelmark.service.agreeing import ANSWERS, refuse_other_than_guardian, those_who_said_no
from keelmark.service.coverage import week_coverage
from keelmark.service.figures_kept import forget_figures
from keelmark.service.handing_over import ReturnSlip, keep_consent, keep_slip, limits_in_words
from keelmark.service.open_squad import OpenSquad
from keelmark.service.own_records import athlete_archive
from keelmark.service.season import Season
from keelmark.service.weekly_papers import athlete_paper, coach_paper
from keelmark.store.erasing import Erased

__all__ = ["Telling"]


class Telling(OpenSquad):
    """The part of a squad that tells."""

    # The week

    def coach_brief(self, week: str) -> Paper:
        """The coach's paper of a week; it holds nothing that people said about their bodies."""
        season = self.season()
        _check_week(season, week)
        return coach_paper(season, self._store.decisions(), week, made_on=self._today())

    def athlete_brief(self, athlete_id: str, week: str) -> Paper:
        """One athlete's paper of a week; nothing in it is about anybody else, or about a body."""
        season = self.season()
        _check_week(season, week)
        _check_person(season, athlete_id)
        return athlete_paper(season, self._catalogue, athlete_id, week, made_on=self._today())

    def quiet_messages(self, week: str, group: str = "") -> list[tuple[str, str, int, str]]:
        """Words to send to each athlete whose week is not whole: key, first name, days missing, message.

        The language is the squad's, where there are such words in it; English otherwise.
        """
        season = self.season()
        language = str(self.settings().get("language") or "en")
        athletes = season.athletes.filter(pl.col("group") == group) if group else season.athletes
        covered = week_coverage(athletes, season.known_days, week).filter(pl.col("known_days") < 7)
        monday, spoken = monday_of_week(week), language if language in LANGUAGES else "en"
        return [
            (athlete_id, name, 7 - known, quiet_message(name, monday, 7 - known, spoken))
            for athlete_id, name, known in covered.iter_rows()
        ]

    # Handing over

    def hand_over(
        self,
        athlete_id: str,
        week: str,
        *,
        fields: Sequence[str],
        given_by: str,
        given_to: str,
        given_on: dt.date,
        questions: str = "",
        keep: bool = True,
    ) -> Paper:
        """The page for a physiotherapist or doctor, with what the athlete agreed to show and nothing else.

        Parameters
        ----------
        athlete_id, week : str
            Whose, and the last of the twelve weeks.
        fields : sequence of str
            What was agreed to, by key.
        given_by, given_to, given_on
            Who agreed, who may see it, and when that was said.
        questions : str
            What the coach asks, one question a line.
        keep : bool
            Record the consent; False only to look at the page first.

        Raises
        ------
        RefusedInput
            When something of the consent is missing.
        SettingError
            When nobody of that key is in the squad, or the week has no figures.
        """
        season = self.season()
        _check_week(season, week)
        name = _check_person(season, athlete_id)
        asked = HandOver(
            athlete_id, monday_of_week(week), tuple(fields), given_by.strip(), given_to.strip(), given_on, questions
        ).checked()
        refuse_other_than_guardian(self._store, athlete_id, asked.given_by, self._today())
        if keep:
            self._beside_figures(lambda: keep_consent(self._store, asked))
        limits = limits_in_words(self._store.health_limits(athlete_id), self._today())
        said_no = athlete_id in those_who_said_no(self._store, ANSWERS)
        check_ins = CHECK_IN.empty() if said_no else self._store.check_ins(athlete_id)
        return hand_over_paper(name, asked, season.of(athlete_id).weekly, check_ins, limits, made_on=self._today())

    def keep_return_slip(self, slip: ReturnSlip) -> str:
        """Keep what came back on a return slip as dated limits; gives the key."""
        _check_person(self.season(), slip.athlete_id)
        return keep_slip(self._store, slip, self._today(), self._beside_figures)

    def standing_limits(self, athlete_id: str) -> list[str]:
        """What is agreed for an athlete's training now or later, in words, newest first."""
        return limits_in_words(self._store.health_limits(athlete_id), self._today())

    def consents(self, athlete_id: str) -> pl.DataFrame:
        """What an athlete agreed to, withdrawn ones too: the CONSENT frame."""
        return self._store.consents(athlete_id)

    def withdraw_consent(self, athlete_id: str, consent_id: str) -> None:
        """Take one of an athlete's consents back."""
        if consent_id not in self._store.consents(athlete_id)["consent_id"]:
            raise SettingError(
                f"there is no consent {consent_id!r} of this athlete",
                where="consents",
                wanted="one of the athlete's own",
                remedy="open the page again: it may have changed since it was shown",
            )
        self._beside_figures(lambda: self._store.withdraw_consent(consent_id))

    # Rights

    def athlete_archive(self, athlete_id: str) -> bytes:
        """Everything kept of an athlete as one ZIP file: CSV, Table Schema, README."""
        season = self.season()
        _check_person(season, athlete_id)
        return athlete_archive(self._store, season, athlete_id, made_at=dt.datetime.now(dt.UTC))

    def erase_athlete(self, athlete_id: str, typed_name: str) -> Erased:
        """Remove everything kept of an athlete, and prove it; `typed_name` has to be the athlete's first name.

        Raises
        ------
        SettingError
            When the name that was typed is another one. Nothing is changed then.
        """
        name = _check_person(self.season(), athlete_id)
        if " ".join(typed_name.split()).casefold() != " ".join(name.split()).casefold():
            raise SettingError(
                f"{typed_name!r} was typed" if typed_name.strip() else "no name was typed",
                where="erasing",
                wanted="the first name of the person who is to be erased",
                remedy="type the name as it stands above, if everything of theirs shall go",
            )
        with self._lock:
            erased = self._store.erase_athlete(athlete_id)
            self._forget_season()
            forget_figures(self._store)
        return erased


def _check_week(season: Season, week: str) -> None:
    if week not in season.weeks:
        known = f"an ISO week from {season.weeks[0]} to {season.weeks[-1]}" if season.weeks else "weeks on record"
        raise SettingError(
            f"{week!r} is not a week with figures",
            where="week",
            wanted=known,
            remedy="write the year, a hyphen, W and the week's number, such as 2026-W10",
        )


def _check_person(season: Season, athlete_id: str) -> str:
    found = season.athletes.filter(pl.col("athlete_id") == athlete_id)
    if found.is_empty():
        raise SettingError(
            f"nobody has the key {athlete_id!r}",
            where="athlete",
            wanted="the key of somebody in the squad",
            remedy="look the key up in the roster",
        )
    return str(found["name"][0])
