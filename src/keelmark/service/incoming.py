"""What comes into a squad: logs, lists, whiteboards with their scores, uploads looked at before they are kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.ingest import LogOptions
from keelmark.service import bringing, club_names, rereading, whiteboards
from keelmark.service.open_squad import OpenSquad, Progress
from keelmark.service.preview import Preview, Previews
from keelmark.store import ImportOutcome, Store
from keelmark.store.last_moment import at_the_last_moment

__all__ = ["Incoming"]


class Incoming(OpenSquad):
    """The part of a squad that takes things in."""

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        super().__init__(store, catalogue)
        self._previews = Previews()
        self._otherwise: tuple[int, list[rereading.ChangedSession]] | None = None

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

    def accept(self, token: str, last_moment: Callable[[], None] = lambda: None) -> bringing.Brought:
        """Store what a preview showed, whole or not at all.

        Parameters
        ----------
        token : str
            The preview's.
        last_moment : function
            Called when all is written and nothing kept yet; what it raises takes all of it back.
        """
        with at_the_last_moment(last_moment):
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

    def redo(self, import_id: str) -> None:
        """Let an edit by hand that was taken back stand again."""
        self._store.redo_import(import_id)

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
