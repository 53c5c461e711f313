"""Decisions looked at again: do the same figures come out, and were the notices of use?"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import polars as pl

from keelmark.contracts.errors import SettingError
from keelmark.service.season import RULE_VERSION, Season
from keelmark.store import Store, copy_load_data

__all__ = [
    "AS_OF", "SETTINGS_THEN", "Compute", "Replay", "changed_since", "differences_between", "replay", "season_then",
    "usefulness",
]  # fmt: skip

SETTINGS_THEN = "settings"
"""Under this name the settings of the day stand beside the figures of a decision."""
AS_OF = "as_of"
"""Under this name, among those settings, the day it was, on which a week that is not over depends."""

Compute = Callable[[Store, dict[str, Any]], Season]


class Beside(NamedTuple):
    """One figure as it was kept and as it comes out, in words."""

    name: str
    then: str
    again: str
    same: bool


@dataclass(frozen=True, slots=True)
class Replay:
    """A decision's figures, worked out again from the records of its day.

    Parameters
    ----------
    decision_id, notice_id : str
        Which decision, about which notice or complaint.
    same : bool
        Whether every figure and every word comes out as it was kept.
    then, again : dict
        The figures as kept and as they come out; `again` is None when what it was about does not come out.
    differences : tuple of str
        What differs, in words.
    changed : tuple of str
        What has changed since and could not be put back, in words.
    """

    decision_id: str
    notice_id: str
    same: bool
    then: dict[str, Any]
    again: dict[str, Any] | None
    differences: tuple[str, ...]
    changed: tuple[str, ...]

    @property
    def figures(self) -> tuple[Beside, ...]:
        """Every number that was kept, beside the one that comes out."""
        again = self.again or {}
        return tuple(
            Beside(name, f"{value:.6g}", _told(again.get(name)), _alike(value, again.get(name)))
            for name, value in self.then.items()
            if isinstance(value, (int, float)) and not isinstance(value, bool)
        )

    @property
    def words(self) -> str:
        """One sentence, with the amount and its marks where there are such."""
        if self.same:
            told_then = {one.name: one.then for one in self.figures}
            amounts = [f"{name} {told_then[name]}" for name in ("value", "lower", "upper") if name in told_then]
            told = f" ({', '.join(amounts)})" if amounts else ""
            return f"From the records of that day, the same figures come out{told}."
        reason = " ".join(self.changed) or "Nothing that is on record explains it."
        return f"Other figures come out. {' '.join(self.differences)} {reason}"


def replay(store: Store, decision_id: str, compute: Compute) -> Replay:
    """Work a decision's notice out again, from what stood in the store when it was recorded.

    A copy of the load data is taken, imports that came later are undone in it, and the season is worked out anew. What
    cannot be put back is said: imports undone since, rules of another version, a squad's own movements.

    Parameters
    ----------
    store : Store
        Only read.
    decision_id : str
        Key of the decision.
    compute : function of (Store, settings)
        Works out a season.

    Raises
    ------
    SettingError
        When there is no such decision.
    """
    decision = _decision(store, decision_id)
    then: dict[str, Any] = json.loads(decision["figures"])
    settings: dict[str, Any] = then.pop(SETTINGS_THEN, {})
    notices = season_then(store, decision["created_at"], settings, compute).notices
    found = notices.filter(pl.col("notice_id") == decision["notice_id"])
    again: dict[str, Any] | None = json.loads(found.write_json())[0] if found.height else None
    differences = differences_between(then, again)
    changed = changed_since(store.imports(), decision)
    return Replay(decision_id, decision["notice_id"], not differences, then, again, differences, changed)


def season_then(store: Store, moment: datetime, settings: dict[str, Any], compute: Compute) -> Season:
    """The season as it would have been worked out at a moment: a copy in which all later imports are undone."""
    with TemporaryDirectory() as folder, copy_load_data(store, Path(folder) / "then.sqlite") as past:
        for import_id in _brought_since(past.imports(), moment):
            past.undo_import(import_id)
        return compute(past, settings)


def usefulness(decisions: pl.DataFrame) -> pl.DataFrame:
    """How many notices of each rule were found useful; the last word on a notice counts.

    Parameters
    ----------
    decisions : DataFrame
        DECISION table, oldest first.

    Returns
    -------
    DataFrame
        rule (`week` or `slow rise`), useful, not_useful, in notices.
    """
    said = decisions.filter(pl.col("useful").is_not_null()).unique("notice_id", keep="last", maintain_order=True)
    slow = pl.col("notice_id").str.ends_with(":slow")
    counted = said.group_by(rule=pl.when(slow).then(pl.lit("slow rise")).otherwise(pl.lit("week"))).agg(
        useful=pl.col("useful").sum().cast(pl.Int64), not_useful=(~pl.col("useful")).sum().cast(pl.Int64)
    )
    return counted.sort("rule")


def _decision(store: Store, decision_id: str) -> dict[str, Any]:
    found = store.decisions().filter(pl.col("decision_id") == decision_id)
    if found.is_empty():
        raise SettingError(
            f"there is no decision {decision_id!r}",
            where="replay",
            wanted="the key of a recorded decision",
            remedy="look the key up in the list of decisions",
        )
    return found.row(0, named=True)


def _brought_since(imports: pl.DataFrame, moment: datetime) -> list[str]:
    later = imports.filter(pl.col("created_at") > moment, pl.col("undone_at").is_null())
    keys: list[str] = later["import_id"].to_list()
    return keys[::-1]


def changed_since(imports: pl.DataFrame, decision: dict[str, Any]) -> tuple[str, ...]:
    """What has changed since a decision and cannot be put back, in words."""
    moment = decision["created_at"]
    undone = imports.filter(pl.col("created_at") <= moment, pl.col("undone_at") > moment)
    told = [
        f"“{row['file']}” was undone on {row['undone_at']:%Y-%m-%d}, and its rows cannot be put back."
        for row in undone.iter_rows(named=True)
    ]
    if decision["rule_version"] != RULE_VERSION:
        told.append(f"The rules were of version {decision['rule_version']} then and are of version {RULE_VERSION} now.")
    return tuple(told)


def differences_between(then: dict[str, Any], again: dict[str, Any] | None) -> tuple[str, ...]:
    """What differs between two sets of figures, in words."""
    if again is None:
        return ("What it was about does not come out.",)
    names = dict.fromkeys((*then, *again))
    return tuple(
        f"“{name}” was {then.get(name)} and is {again.get(name)}."
        for name in names
        if not _alike(then.get(name), again.get(name))
    )


def _told(value: Any) -> str:
    return f"{value:.6g}" if isinstance(value, (int, float)) else "none"


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    return bool(one == other)
