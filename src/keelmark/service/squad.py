"""The squad: one door for the command line and the pages to everything keelmark knows and does."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from threading import Lock, RLock
from types import TracebackType
from typing import Any, Self

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import DAY_STATE, DAY_STATES
from keelmark.health import Association, ReturnPlan, association
from keelmark.ingest import LogOptions
from keelmark.marks import AuditPlan
from keelmark.service import bringing, check_in_file, check_ins, club_names, rereading, whiteboards
from keelmark.service.accounts import Accounts
from keelmark.service.ahead import Ahead
from keelmark.service.auditing import AuditReport, audit_season
from keelmark.service.check_ins import Timeline
from keelmark.service.complaint_decisions import decide_on_complaint, replay_complaint
from keelmark.service.decisions import AS_OF, SETTINGS_THEN, Replay, replay, usefulness
from keelmark.service.display_settings import DISPLAY_KEYS
from keelmark.service.kept import read_kept
from keelmark.service.own_movements import change_own_movements, own_movements, squad_catalogue
from keelmark.service.person import Person
from keelmark.service.personal import NarrowSeasons, PersonalSquad
from keelmark.service.planning import Planner, new_events
from keelmark.service.preview import Preview, Previews
from keelmark.service.season import RULE_VERSION, Season, compute_season
from keelmark.service.squad_settings import SETTINGS, checked_setting, load_settings, mark_settings
from keelmark.service.telling import Telling
from keelmark.service.week_plan import Plan
from keelmark.store import ImportOutcome, Store
from keelmark.store.access import Look
from keelmark.store.store import SettingChange

__all__ = ["Squad"]

Progress = Callable[[str], None]


class Squad(Telling):
    """An open squad. Use `Squad.open`, as a context manager.

    Figures are worked out when first asked for and kept until something is written to the store.
    """

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        self._store = store
        self._catalogue = catalogue
        self._season: Season | None = None
        self._planner: Planner | None = None
        self._season_at = -1
        self._asked: tuple[int, list[Association]] | None = None
        self._previews = Previews()
        self._otherwise: tuple[int, list[rereading.ChangedSession]] | None = None
        self._audited: tuple[Season, AuditReport] | None = None
        self._accounts = Accounts(store)
        self._narrow = NarrowSeasons()
        self._lock = RLock()
        self._audit_lock = Lock()

    @classmethod
    def open(cls, url: str | Path | None = None, *, own_movements: Sequence[Path] = ()) -> Self:
        """Open a squad's store, making it when there is none.

        Parameters
        ----------
        url : str, Path or None
            See `Store.open`.
        own_movements : paths
            The squad's own movement files; they are checked, kept in the store and used from then on.

        Raises
        ------
        StoreError
            When the store cannot be opened.
        CatalogueError
            When an own movement is inconsistent; nothing is kept of the file then.
        """
        store = Store.open(url)
        try:
            return cls(store, squad_catalogue(store, own_movements))
        except BaseException:
            store.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._store.close()

    @property
    def place(self) -> str:
        """Where the squad is kept, fit to be shown."""
        return self._store.place

    @property
    def accounts(self) -> Accounts:
        """Who may come in, where the squad's pages ask for it."""
        return self._accounts

    def looks(self, athlete_id: str) -> list[Look]:
        """Who has looked at an athlete's health data, newest first; each counts once a day."""
        return self._accounts.looks(athlete_id)

    def readers(self, athlete_id: str) -> list[tuple[str, str]]:
        """Names and roles of those who may read an athlete's health data, the athlete left out."""
        return self._accounts.readers(athlete_id)

    def seen_by(self, person: Person) -> PersonalSquad:
        """This squad as a person may use it."""
        return PersonalSquad(self, person, self._accounts, self._narrow)

    @property
    def catalogue(self) -> Catalogue:
        """The movements this squad uses, its own ones among them."""
        return self._catalogue

    def season(self, progress: Progress = lambda _: None) -> Season:
        """All figures as of the last write."""
        with self._lock:
            if self._season is None or self._season_at != self._store.revision or self._season.grows_by(_today()):
                self._season = self._compute(self._store, self.settings(), progress)
                self._season_at = self._season.kept.revision
            return self._season

    def _compute(self, store: Store, chosen: dict[str, Any], progress: Progress = lambda _: None) -> Season:
        settings = load_settings(chosen), mark_settings(chosen)
        as_of = chosen.get(AS_OF)
        today = dt.date.fromisoformat(as_of) if as_of else _today()
        return compute_season(read_kept(store), self._catalogue, *settings, progress, today)

    def _beside_figures(self, write: Callable[[], str]) -> str:
        """Write what no figure rests on, and keep the figures unless somebody else wrote meanwhile."""
        with self._lock:
            before = self._store.revision
            key = write()
            if self._season_at == before and self._store.revision == before + 1:
                self._season_at = before + 1
            return key

    # What comes in

    def import_log(
        self,
        path: Path,
        *,
        roster: Path | None = None,
        mapping: Path | None = None,
        options: LogOptions | None = None,
        progress: Progress = lambda _: None,
    ) -> bringing.Brought:
        """Read a club log and store it, whole or not at all; with a roster, only people in it are accepted."""
        reading = bringing.read(self._store, self._catalogue, path, roster, mapping, options, progress)
        progress("Storing")
        return bringing.store(self._store, reading)

    def import_roster(self, path: Path, options: LogOptions | None = None) -> ImportOutcome:
        """Read a list of people and store it."""
        return bringing.store_roster(self._store, self._catalogue, path, options)

    def import_days(self, path: Path, options: LogOptions | None = None) -> ImportOutcome:
        """Read what is known of days without training and store it."""
        return bringing.store_days(self._store, path, options)

    def import_labels(self, path: Path, options: LogOptions | None = None) -> ImportOutcome:
        """Read calendar labels and store them."""
        return bringing.store_labels(self._store, path, options)

    def import_whiteboards(
        self,
        scores: Path,
        texts: Path,
        *,
        roster: Path | None = None,
        mapping: Path | None = None,
        options: LogOptions | None = None,
        progress: Progress = lambda _: None,
    ) -> whiteboards.BroughtWhiteboards:
        """Read a score sheet against a season's whiteboard texts and store it, whole or not at all."""
        return whiteboards.bring_whiteboards(
            self._store, self._catalogue, scores, texts, roster, mapping, options, progress
        )

    def look_at_text(self, text: str, result: str | None = None) -> whiteboards.TextReading:
        """What would be read from a whiteboard text, for both standards; nothing is stored."""
        return whiteboards.look_at_text(text, self._catalogue, result)

    def look_at_evening(self, evening: whiteboards.Evening) -> list[whiteboards.OwnReading]:
        """What would be stored for each athlete of an evening; nothing is stored."""
        return whiteboards.look_at_evening(self._store, self._catalogue, evening)

    def save_evening(self, evening: whiteboards.Evening) -> whiteboards.BroughtWhiteboards:
        """Store what was done in one session, from its text and the scores of those who came."""
        return whiteboards.save_evening(self._store, self._catalogue, evening)

    def preview_log(self, data: bytes, name: str, options: LogOptions | None = None) -> Preview:
        """Read an uploaded log without storing it."""
        return self._previews.keep(lambda path: self._read_upload(path, options), data, name)

    def preview_again(self, token: str, options: LogOptions | None = None) -> Preview:
        """Read the same upload once more, in another way or with names learned meanwhile."""
        return self._previews.again(token, lambda path: self._read_upload(path, options))

    def _read_upload(self, path: Path, options: LogOptions | None) -> bringing.Read:
        return bringing.read(self._store, self._catalogue, path, None, None, options, lambda _: None)

    def club_names(self) -> dict[str, str]:
        """The club's own names for movements: written name to movement."""
        return club_names.club_names(self._store)

    def learn_names(self, names: Mapping[str, str]) -> None:
        """Keep the club's own names for movements and use them from now on, in files and on whiteboards."""
        with self._lock:
            self._catalogue = club_names.learn_names(self._store, self._catalogue, names)

    def accept(self, token: str) -> bringing.Brought:
        """Store what a preview showed."""
        return bringing.store(self._store, self._previews.take(token))

    def imports(self) -> pl.DataFrame:
        """All imports, undone ones too: the IMPORT frame."""
        return self._store.imports()

    def import_rows(self, import_id: str) -> pl.DataFrame:
        """The verdict on each row of an import: the IMPORT_ROW frame."""
        return self._store.import_rows(import_id)

    def original(self, import_id: str) -> bytes:
        """The bytes of an import as they came."""
        return self._store.original(import_id)

    def undo(self, import_id: str) -> None:
        """Take an import's rows out of the store; its record and bytes stay, and a former reading stands again."""
        if rereading.take_back(self._store, import_id) is None:
            self._store.undo_import(import_id)

    def whiteboards_may_have_changed(self) -> bool:
        """Whether people, maxima or movements came in after whiteboards were stored."""
        return rereading.may_have_changed(self._store)

    def changed_whiteboards(self) -> list[rereading.ChangedSession]:
        """Sessions of stored whiteboards that read otherwise with what is known today."""
        with self._lock:
            if self._otherwise is None or self._otherwise[0] != self._store.revision:
                self._otherwise = self._store.revision, rereading.changed_sessions(self._store, self._catalogue)
            return self._otherwise[1]

    def read_whiteboards_again(self) -> ImportOutcome | None:
        """Put today's reading in the place of stored whiteboards that read otherwise; `undo` takes that back."""
        return rereading.read_again(self._store, self._catalogue)

    # What people say

    def set_day_state(
        self, athlete_ids: Iterable[str], dates: Iterable[dt.date], state: str, note: str | None = None
    ) -> str:
        """Say what is known of days without training; `unlogged` takes back what was said. Gives the import's key."""
        days = list(dates)
        return self.set_day_states([(who, day, state) for who in athlete_ids for day in days], note)

    def set_day_states(self, said: Iterable[tuple[str, dt.date, str]], note: str | None = None) -> str:
        """Say what is known of several days at once: athlete, day and state of each. Gives the import's key."""
        rows: list[dict[str, object]] = []
        for athlete_id, day, state in said:
            if state not in DAY_STATES or state == "trained":
                raise SettingError(
                    f"{state!r} is not something to say about a day",
                    where="day state",
                    wanted="rest, ill, travel, away, restricted, partly or unlogged",
                    remedy="log the efforts themselves for a day of training",
                )
            rows.append({"athlete_id": athlete_id, "date": day, "state": state, "note": note})
        return self._store.set_day_states(DAY_STATE.build(rows))

    def set_label(self, date_from: dt.date, date_to: dt.date, label: str, group: str | None = None) -> str:
        """Give a stretch of days a name such as holiday or competition."""
        return self._store.set_label(date_from, date_to, label, group)

    def settings(self) -> dict[str, Any]:
        """Every setting with the squad's choice or its default."""
        chosen = self._store.settings()
        return {setting.key: chosen.get(setting.key, setting.default) for setting in SETTINGS}

    def check_setting(self, key: str, value: object) -> None:
        """Refuse a setting that does not fit, without choosing it."""
        checked_setting(key, value)

    def set_setting(self, key: str, value: object, who: str | None = None) -> None:
        """Choose a setting; `who` stands beside the change."""
        fitting = checked_setting(key, value)
        if key not in DISPLAY_KEYS:
            self._store.set_setting(key, fitting, who)
            return

        def write() -> str:
            self._store.set_setting(key, fitting, who)
            return key

        self._beside_figures(write)

    def own_movements(self) -> dict[str, str]:
        """The squad's own movement files: name to text."""
        return own_movements(self._store)

    def change_own_movements(self, name: str, text: str | None, who: str | None = None) -> None:
        """Keep a movement file (TOML) under a name, or drop it when there is no text, and use what holds from now."""
        with self._lock:
            self._catalogue = change_own_movements(self._store, name, text, who)

    def setting_changes(self) -> list[SettingChange]:
        """Every change of a setting, newest first."""
        return self._store.setting_changes()

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
        with self._lock:
            return self._audited[1] if self._audited and self._audited[0] is self.season() else None

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
        then = {**self.settings(), AS_OF: _today().isoformat()}
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

    # What athletes say about their bodies

    def check_in(self, athlete_id: str, week: str, answers: Mapping[str, int | None], area: str | None = None) -> str:
        """Keep what an athlete says about a week: options by question, from 0; gives the check-in's key."""
        return self._beside_figures(lambda: check_ins.record_check_in(self._store, athlete_id, week, answers, area))

    def import_check_ins(self, path: Path) -> int:
        """Read answers that were given elsewhere and keep those not kept yet; gives how many."""
        return check_in_file.import_check_ins(self._store, path)

    def check_ins(self, athlete_id: str | None = None) -> pl.DataFrame:
        """Check-ins, oldest first: the CHECK_IN frame."""
        return self._store.check_ins(athlete_id)

    def timeline(self, athlete_id: str, week: str | None = None) -> Timeline:
        """An athlete's complaints as of a week (the last when left out), beside the athlete's weekly figures."""
        return check_ins.timeline(self._store, self.season(), athlete_id, week)

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
        then = {**self.settings(), AS_OF: _today().isoformat()}
        season = self.season()
        return self._beside_figures(
            lambda: decide_on_complaint(self._store, season, then, athlete_id, area, first, week, said)
        )

    def complaint_decisions(self, athlete_id: str | None = None) -> pl.DataFrame:
        """What was decided about complaints, oldest first: the COMPLAINT_DECISION frame."""
        return self._store.complaint_decisions(athlete_id)

    def replay_complaint(self, decision_id: str) -> Replay:
        """Work out again what stood when a decision about a complaint was recorded, and say what differs."""
        return replay_complaint(self._store, decision_id, self._compute)

    def association(self) -> list[Association]:
        """Whether complaints were told more often after weeks with more work, in the squad as a whole."""
        season, revision = self.season(), self._store.revision
        asked = self._asked
        if asked is None or asked[0] != revision:
            asked = self._asked = revision, association(self._store.check_ins(), season.weekly)
        return asked[1]

    def return_plan(self, athlete_id: str, week: str | None = None) -> ReturnPlan | None:
        """The plan after an athlete's gap that is open or lately over in a week: settled, or proposed, or none."""
        return check_ins.return_plan(self._store, self.season(), athlete_id, week)

    def save_return_plan(self, plan: ReturnPlan) -> str:
        """Keep a return plan as it was settled; gives its key."""
        return self._beside_figures(lambda: check_ins.save_return_plan(self._store, plan))

    # What is planned

    def import_events(self, data: bytes) -> int:
        """Name the days of an iCalendar file's events; gives how many were new. Weeks with a name teach no marks."""
        events = new_events(data, self.season().kept.labels)
        for event in events:
            self.set_label(event.first, event.last, event.name)
        return len(events)

    @property
    def ahead(self) -> Ahead:
        """What is agreed with athletes and meant for the squad in weeks to come."""
        return Ahead(self._store, self._beside_figures)

    def plan(self, text: str, *, monday: dt.date | None = None) -> Plan:
        """The plan of a week's text, over the season as of the last write; see `Planner.plan`."""
        with self._lock:
            season = self.season()
            if self._planner is None or self._planner.season is not season:
                self._planner = Planner(season, self._catalogue, mark_settings(self.settings()), self._store)
            return self._planner.plan(text, monday=monday)


def _today() -> dt.date:
    return dt.date.today()
