"""What a squad has chosen, and every change of it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from keelmark.store import schema as tables
from keelmark.store.door import Door

__all__ = ["SettingChange", "SettingRecords"]


@dataclass(frozen=True, slots=True)
class SettingChange:
    """A setting became something else: `old` is None where nothing had been chosen, `who` where nobody signed in."""

    key: str
    old: Any
    new: Any
    who: str | None
    created_at: datetime


class SettingRecords(Door):
    """The part of a store that holds settings."""

    def settings(self) -> dict[str, Any]:
        """The squad's settings."""
        with self._reading() as connection:
            found = connection.execute(sa.select(tables.setting.c.key, tables.setting.c.value).order_by("key")).all()
        return {row.key: json.loads(row.value) for row in found}

    def set_setting(self, key: str, value: object, who: str | None = None) -> None:
        """Set one of the squad's settings; the value is anything JSON can say. The change is kept, with its author."""
        text = json.dumps(value, sort_keys=True)
        mine = tables.setting.c.key == key
        with self._writing() as connection:
            old = connection.execute(sa.select(tables.setting.c.value).where(mine)).scalar()
            connection.execute(tables.setting.delete().where(mine))
            connection.execute(tables.setting.insert().values(key=key, value=text))
            if text != old:
                self._append(connection, tables.setting_change, {"key": key, "old": old, "new": text, "who": who})

    def setting_changes(self) -> list[SettingChange]:
        """Every change of a setting, newest first."""
        table = tables.setting_change
        columns = (table.c.key, table.c.old, table.c.new, table.c.who, table.c.created_at)
        with self._reading() as connection:
            rows = connection.execute(sa.select(*columns).order_by(table.c.change_id.desc())).all()
        return [
            SettingChange(row.key, None if row.old is None else json.loads(row.old), json.loads(row.new), *row[3:])
            for row in rows
        ]
