"""A squad that is open: its store, its movements, its settings, and its figures as of the last write."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from threading import Lock, RLock
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

__all__ = ["OpenSquad", "Progress", "last_figures_will_do"]

Progress = Callable[[str], None]
PATIENCE_S = 1.0
"""How long somebody who only reads waits for newer figures while others have them worked out."""
_LAST_WILL_DO: ContextVar[bool] = ContextVar("keelmark-last-figures-will-do", default=False)


@contextmanager
def last_figures_will_do(yes: bool = True) -> Iterator[None]:
    """Whoever asks for a season inside gets the last one while somebody else has a newer one worked out."""
    token = _LAST_WILL_DO.set(yes)
    try:
        yield
    finally:
        _LAST_WILL_DO.reset(token)


class OpenSquad:
    """What every part of a squad stands on.

    Figures are worked out when first asked for and kept until something is written to the store.
    """

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        self._store = store
        self._catalogue = catalogue
        self._season: Season | None = None
        self._season_made: dt.datetime | None = None
        self._beside: frozenset[int] = frozenset()
        self._lock, self._writing_beside = RLock(), Lock()

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
        """All figures as of the last write; inside `last_figures_will_do` those before it may come."""
        last = self._season
        if last is not None and self.stands(last):
            return last
        patience = PATIENCE_S if last is not None and _LAST_WILL_DO.get() else -1
        if not self._lock.acquire(timeout=patience):
            assert last is not None
            return last
        try:
            season = self._season
            if season is None or not self.stands(season):
                season = self._worked_out(season, progress)
            return season
        finally:
            self._lock.release()

    def stands(self, season: Season) -> bool:
        """Whether nothing was written since that these figures rest on, and no new day has begun."""
        newest, known = self._store.revision, self._beside
        written = range(season.kept.revision + 1, newest + 1)
        return all(revision in known for revision in written) and not season.grows_by(self._today())

    @property
    def figures_made(self) -> dt.datetime | None:
        """When the figures that are there were worked out; None before the first."""
        return self._season_made

    def _worked_out(self, last: Season | None, progress: Progress) -> Season:
        before = last.derived if last else kept_figures(self._store)
        season = self._compute(self._store, self.settings(), progress, before)
        self._season, self._season_made = season, dt.datetime.now()
        with self._writing_beside:
            self._beside = frozenset(one for one in self._beside if one > season.kept.revision)
        keep_figures(self._store, season, before)
        return season

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
        with self._writing_beside:
            before = self._store.revision
            key = write()
            if self._store.revision == before + 1:
                self._beside |= {before + 1}
            return key

    def _forget_season(self) -> None:
        """Nobody is to see the last figures again."""
        self._season = None

    def _today(self) -> dt.date:
        return dt.date.today()
