"""A squad that is open: its store, its movements, its settings, and its figures as of the last write."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Any, Self

from keelmark.catalogue import Catalogue
from keelmark.engine.derived import Derived
from keelmark.service.decisions import AS_OF
from keelmark.service.figures_kept import keep_figures, kept_figures
from keelmark.service.kept import read_kept
from keelmark.service.own_movements import squad_catalogue
from keelmark.service.season import Season, compute_season
from keelmark.service.squad_settings import SETTINGS, load_settings, mark_settings
from keelmark.store import Store

__all__ = ["OpenSquad", "Progress"]

Progress = Callable[[str], None]


class OpenSquad:
    """What every part of a squad stands on.

    Figures are worked out when first asked for and kept until something is written to the store.
    """

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        self._store = store
        self._catalogue = catalogue
        self._season: Season | None = None
        self._season_at = -1
        self._lock = RLock()

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
    def catalogue(self) -> Catalogue:
        """The movements this squad uses, its own ones among them."""
        return self._catalogue

    def settings(self) -> dict[str, Any]:
        """Every setting with the squad's choice or its default."""
        chosen = self._store.settings()
        return {setting.key: chosen.get(setting.key, setting.default) for setting in SETTINGS}

    def season(self, progress: Progress = lambda _: None) -> Season:
        """All figures as of the last write."""
        with self._lock:
            if self._season is None or self._season_at != self._store.revision or self._season.grows_by(self._today()):
                before = self._season.derived if self._season else kept_figures(self._store)
                self._season = self._compute(self._store, self.settings(), progress, before)
                self._season_at = self._season.kept.revision
                keep_figures(self._store, self._season, before)
            return self._season

    def _compute(
        self,
        store: Store,
        chosen: dict[str, Any],
        progress: Progress = lambda _: None,
        before: Derived | None = None,
    ) -> Season:
        settings = load_settings(chosen), mark_settings(chosen)
        as_of = chosen.get(AS_OF)
        today = dt.date.fromisoformat(as_of) if as_of else self._today()
        return compute_season(read_kept(store), self._catalogue, *settings, progress, today, before)

    def _beside_figures(self, write: Callable[[], str]) -> str:
        """Write what no figure rests on, and keep the figures unless somebody else wrote meanwhile."""
        with self._lock:
            before = self._store.revision
            key = write()
            if self._season_at == before and self._store.revision == before + 1:
                self._season_at = before + 1
            return key

    def _today(self) -> dt.date:
        return dt.date.today()
