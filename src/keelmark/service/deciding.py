"""What coaches decide about notices, and how often the rules behind the notices speak."""

from __future__ import annotations

import datetime as dt
import json
from threading import Lock

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import SettingError
from keelmark.marks import AuditPlan
from keelmark.service.auditing import AuditReport, audit_season
from keelmark.service.choosing import Choosing
from keelmark.service.decisions import AS_OF, SETTINGS_THEN, Replay, replay, usefulness
from keelmark.service.open_squad import Progress
from keelmark.service.season import RULE_VERSION, Season
from keelmark.service.squad_settings import mark_settings
from keelmark.store import Store

__all__ = ["Deciding"]


class Deciding(Choosing):
    """The part of a squad that keeps decisions and audits the rules."""

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        super().__init__(store, catalogue)
        self._audited: tuple[Season, AuditReport] | None = None
        self._audit_lock = Lock()

    def audit(self, progress: Progress = lambda _: None, *, number: int = 1) -> AuditReport:
        """How often the rules speak when nothing changes in this squad, and how soon they find what does.

        A rule over its budget is quietened from then on, and one that needs it no longer is not.

        Parameters
        ----------
        progress : function of str
            Told what is being worked out.
        number : int
            Fixes what is drawn: the same number and records give the same audit.
        """
        with self._audit_lock:
            kept = self.kept_audit()
            if kept is not None and kept.audit.plan.number == number:
                return kept
            season = self.season(progress)
            found = audit_season(season, mark_settings(self.settings()), AuditPlan(number=number), progress)
            chosen = self.settings()
            for rule, rate in found.audit.rates.items():
                if chosen[f"{rule}_rate"] != rate:
                    self.set_setting(f"{rule}_rate", rate)
            self._audited = self.season(progress), found
            return found

    def kept_audit(self) -> AuditReport | None:
        """The last audit, while the figures are those that it was made from."""
        audited, season = self._audited, self.season()
        return audited[1] if audited and audited[0] is season else None

    def decisions(self) -> pl.DataFrame:
        """What coaches decided, oldest first: the DECISION frame."""
        return self._store.decisions()

    def record_decision(
        self,
        notice_id: str,
        *,
        useful: bool | None = None,
        option: str | None = None,
        reason: str | None = None,
        owner: str | None = None,
        athlete_view: str | None = None,
        review_date: dt.date | None = None,
    ) -> str:
        """Record what a coach thinks of a notice and does about it, with the notice as it stands."""
        notice = self.season().notices.filter(pl.col("notice_id") == notice_id)
        if notice.is_empty():
            raise SettingError(
                f"there is no notice {notice_id!r}",
                where="decision",
                wanted="a notice of this season",
                remedy="open the page again: the figures may have changed since it was shown",
            )
        then = {**self.settings(), AS_OF: self._today().isoformat()}
        figures = {**json.loads(notice.write_json())[0], SETTINGS_THEN: then}
        return self._beside_figures(
            lambda: self._store.record_decision(
                notice_id,
                figures=figures,
                rule_version=RULE_VERSION,
                useful=useful,
                option=option,
                reason=reason,
                owner=owner,
                athlete_view=athlete_view,
                review_date=review_date,
            )
        )

    def replay(self, decision_id: str) -> Replay:
        """Work the figures of a decision out again from the records of its day, and say what differs."""
        return replay(self._store, decision_id, self._compute)

    def usefulness(self) -> pl.DataFrame:
        """How many notices of each rule were found useful: columns rule, useful, not_useful."""
        return usefulness(self.decisions())
