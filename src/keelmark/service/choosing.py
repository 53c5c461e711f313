"""What a squad says of its days and chooses for itself: day states, labels, settings, own movements."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import DAY_STATE, DAY_STATES
from keelmark.service.display_settings import DISPLAY_KEYS
from keelmark.service.open_squad import OpenSquad
from keelmark.service.own_movements import change_own_movements, own_movements
from keelmark.service.squad_settings import checked_setting
from keelmark.store.settings import SettingChange

__all__ = ["Choosing"]


class Choosing(OpenSquad):
    """The part of a squad that keeps what people say of days and choose."""

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
