"""What athletes say about their bodies, and what is decided about it; ask it only where the answer may be seen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import SettingError
from keelmark.health import Association, ReturnPlan, association
from keelmark.service import check_in_file, check_ins
from keelmark.service.agreeing import ANSWERS, QUESTION, refuse_after_no, refuse_unless_agreed, those_who_said_no
from keelmark.service.check_ins import Timeline
from keelmark.service.complaint_decisions import decide_on_complaint, replay_complaint
from keelmark.service.decisions import AS_OF, Replay
from keelmark.service.open_squad import OpenSquad
from keelmark.store import Store

__all__ = ["Bodies"]


class Bodies(OpenSquad):
    """The part of a squad that holds check-ins, complaints and plans after gaps."""

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        super().__init__(store, catalogue)
        self._asked: tuple[int, list[Association]] | None = None

    def check_in(self, athlete_id: str, week: str, answers: Mapping[str, int | None], area: str | None = None) -> str:
        """Keep what an athlete says about a week: options by question, from 0; gives the check-in's key."""
        refuse_unless_agreed(self._store, {athlete_id}, self._today())
        return self._beside_figures(lambda: check_ins.record_check_in(self._store, athlete_id, week, answers, area))

    def withdraw_check_in(self, athlete_id: str, key: str) -> None:
        """Take one of an athlete's check-ins back; it stays on record as withdrawn, and counts for nothing.

        Raises
        ------
        SettingError
            When no check-in of this athlete with this key stands.
        """
        if key not in set(self._store.check_ins(athlete_id)["check_in_id"]):
            raise SettingError(
                f"no check-in {key!r} of this athlete stands",
                where="check-in",
                wanted="one that was given and not taken back",
                remedy="look at the week again; nothing was changed",
            )

        def take_back() -> str:
            self._store.withdraw_check_ins([key])
            return key

        self._beside_figures(take_back)

    def import_check_ins(self, path: Path) -> int:
        """Read answers that were given elsewhere and keep those not kept yet; gives how many."""
        return check_in_file.import_check_ins(self._store, path, self._today())

    def check_ins(self, athlete_id: str | None = None) -> pl.DataFrame:
        """Check-ins, oldest first, of those who have not said no: the CHECK_IN frame."""
        return self._agreed(self._store.check_ins(athlete_id))

    def timeline(self, athlete_id: str, week: str | None = None) -> Timeline:
        """An athlete's complaints as of a week (the last when left out), beside the athlete's weekly figures."""
        said = self.check_ins(athlete_id)
        return check_ins.timeline(said, self.season(), athlete_id, week)

    def decide_on_complaint(
        self,
        athlete_id: str,
        area: str,
        first: dt.date,
        week: str,
        *,
        option: str,
        reason: str | None = None,
        owner: str | None = None,
        athlete_view: str | None = None,
        review_date: dt.date | None = None,
    ) -> str:
        """Record what is decided about a complaint as it stands in a week; it changes no training by itself."""
        said = {"option": option, "reason": reason, "owner": owner, "athlete_view": athlete_view,
                "review_date": review_date}  # fmt: skip
        then = {**self.settings(), AS_OF: self._today().isoformat()}
        season, told = self.season(), self.check_ins(athlete_id)
        return self._beside_figures(
            lambda: decide_on_complaint(self._store, told, season, then, athlete_id, area, first, week, said)
        )

    def complaint_decisions(self, athlete_id: str | None = None) -> pl.DataFrame:
        """What was decided about complaints, oldest first: the COMPLAINT_DECISION frame."""
        return self._agreed(self._store.complaint_decisions(athlete_id))

    def replay_complaint(self, decision_id: str) -> Replay:
        """Work out again what stood when a decision about a complaint was recorded, and say what differs."""
        return replay_complaint(self._store, self.complaint_decisions(), decision_id, self._compute)

    def association(self) -> list[Association]:
        """Whether complaints were told more often after weeks with more work, in the squad as a whole."""
        season, revision = self.season(), self._store.revision
        asked = self._asked
        if asked is None or asked[0] != revision:
            counted = self._agreed(self.check_ins(), QUESTION)
            asked = self._asked = revision, association(counted, season.weekly)
        return asked[1]

    def _agreed(self, rows: pl.DataFrame, purpose: str = ANSWERS) -> pl.DataFrame:
        """Rows of those who have not said no to a purpose."""
        return rows.filter(~pl.col("athlete_id").is_in(those_who_said_no(self._store, purpose)))

    def return_plan(self, athlete_id: str, week: str | None = None) -> ReturnPlan | None:
        """The plan after an athlete's gap that is open or lately over in a week: settled, or proposed, or none.

        There is none for somebody who has said no to answers about the body.
        """
        if athlete_id in those_who_said_no(self._store, ANSWERS):
            return None
        return check_ins.return_plan(self._store, self.season(), athlete_id, week)

    def save_return_plan(self, plan: ReturnPlan) -> str:
        """Keep a return plan as it was settled; gives its key. Refused after a no of the athlete's."""
        refuse_after_no(self._store, plan.athlete_id)
        return self._beside_figures(lambda: check_ins.save_return_plan(self._store, plan))
