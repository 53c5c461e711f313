"""The mechanics of a session read from a whiteboard, told rep by rep; behind `keelmark read --explain`."""

from __future__ import annotations

import datetime as dt
import json
from typing import TYPE_CHECKING, Any

import typer

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError

if TYPE_CHECKING:
    import polars as pl

    from keelmark.dose.lumbar_explain import Explanation
    from keelmark.mechanics import Body
    from keelmark.notation import Reading

__all__ = ["explained", "tell_mechanics"]

_DAY = dt.date(2000, 1, 3)
_WHO = "athlete"


def explained(
    reading: Reading,
    *,
    body_mass_kg: float | None,
    stature_cm: float | None,
    sex: str | None,
    rep_maxima_kg: dict[str, float],
) -> tuple[Explanation, Body]:
    """The mechanics of a reading for one body, and that body.

    Raises
    ------
    MechanicsError
        When a body mass or a stature cannot be that of an adult: most often another unit.
    SettingError
        When the sex is not one of the two the body tables know.
    """
    from keelmark.catalogue import shipped_catalogue
    from keelmark.contracts.frames import ATHLETE, REP_MAXIMUM
    from keelmark.dose.lumbar_explain import explain
    from keelmark.mechanics import body_of
    from keelmark.notation import to_efforts_frame

    if sex not in (None, "female", "male"):
        raise SettingError(
            f"{sex!r} was given",
            where="option --sex",
            wanted="female or male: the published body tables have these two",
            remedy="leave it out, and both are covered by a wider interval",
        )
    body = body_of(body_mass_kg, stature_cm, sex)  # type: ignore[arg-type]
    person: dict[str, object] = {"athlete_id": _WHO, "name": "Athlete", "body_mass_kg": body_mass_kg}
    athlete = ATHLETE.build([{**person, "stature_cm": stature_cm, "sex": sex}])
    maxima: list[dict[str, object]] = [
        {"athlete_id": _WHO, "movement": lift, "date": _DAY, "load_kg": load, "state": "stated"}
        for lift, load in rep_maxima_kg.items()
    ]
    efforts = to_efforts_frame(reading, athlete_id=_WHO, date=_DAY, session_id="session", import_id="read")
    return explain(efforts, athlete, shipped_catalogue(), rep_maxima=REP_MAXIMUM.build(maxima)), body


def tell_mechanics(found: Explanation, body: Body, *, as_json: bool) -> None:
    """Print an explanation, as tables to read or as one JSON object."""
    if as_json:
        typer.echo(json.dumps(_plain(found, body), ensure_ascii=False))
        return
    from rich.console import Console

    from keelmark.catalogue import shipped_catalogue

    console = Console(highlight=False)
    names = shipped_catalogue().names
    console.print("\nWhat one rep asks of the lower back", style="bold")
    if found.reps.is_empty():
        console.print("Nothing in this text is counted as loading the lower back.")
    else:
        console.print(_reps_table(found, body))
        console.print(_totals_table(_totals(found)))
    for row in found.reps.filter(found.reps["missing"].is_not_null()).iter_rows(named=True):
        console.print(f"not known: {row['missing']} ({row['name']})", markup=False)
    for movement, reason in found.not_counted:
        console.print(f"not counted: {names.label(movement)}. {reason}", markup=False)
    for sentence in found.assumptions:
        console.print(f"assumed: {sentence}", markup=False)
    for line in _width_lines(found.narrowing):
        console.print(line, markup=False)
    console.print(found.scope, style="dim", markup=False)


def _reps_table(found: Explanation, body: Body) -> Any:
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    heads = ("movement", "load\nkg", "lean\n°", "reach\ncm", "moment\nN m", "compression\nkN", "a rep\ns", "reps")
    table = Table(*heads, box=SIMPLE_HEAD)
    for column in table.columns[1:]:
        column.no_wrap = True
    reach = _reaches(found, body)
    for row in found.reps.iter_rows(named=True):
        seconds = row["impulse"] / row["moment"] if row["moment"] else None
        known = row["missing"] is None
        table.add_row(
            f"{row['name']}\n{row['posture'] or 'posture not known'}",
            f"{round(row['load_used'], 1):g}" if known else "unknown",
            "" if row["lean"] is None else f"{row['lean']:.0f}",
            "" if reach.get(row["movement"]) is None else f"{reach[row['movement']]:.0f}",
            _three(row, "moment"),
            _three(row, "compression", 1000),
            "" if seconds is None else f"{seconds:.1f}",
            _three(row, "cycles"),
        )
    return table


def _reaches(found: Explanation, body: Body) -> dict[str, float]:
    """How far the load is in front of the joint, for this body in the usual posture of each movement [cm]."""
    from keelmark.dose.lumbar_picture import posture_picture

    reaches = {}
    for movement in found.reps["movement"].unique():
        picture = posture_picture(movement, body)
        if picture is not None:
            reaches[movement] = 100 * (picture.points["load"][0] - picture.points["lumbar"][0])
    return reaches


def _totals_table(totals: list[dict[str, Any]]) -> Any:
    from rich.table import Table

    table = Table("whole session", "amount", "between")
    for row in totals:
        value = "not known" if row["value"] is None else f"{_short(row['value'])} {row['unit']}"
        upper = "open" if row["high"] is None else _short(row["high"])
        table.add_row(row["label"], value, f"{_short(row['low'])} and {upper}")
    return table


def _totals(found: Explanation) -> list[dict[str, Any]]:
    totals = []
    for (key,), rows in found.doses.group_by("channel", maintain_order=True):
        channel = CHANNEL_BY_KEY[str(key)]
        values = rows["value"].drop_nulls()
        whole = max if channel.gather == "max" else sum
        totals.append(
            {
                "channel": channel.key,
                "label": channel.label,
                "unit": channel.unit,
                "value": whole(values) if len(values) else None,
                "low": whole(rows["low"]),
                "high": whole(rows["high"]) if rows["high"].null_count() == 0 else None,
            }
        )
    return totals


def _width_lines(narrowing: pl.DataFrame) -> list[str]:
    lines = [
        f"widens it: {row['label']}, {100 * row['narrows']:.0f} % of the width"
        for row in narrowing.head(3).iter_rows(named=True)
    ]
    questions = narrowing["question"].drop_nulls()
    return [*lines, f"ask: {questions[0]}"] if len(questions) else lines


def _three(row: dict[str, Any], name: str, divisor: float = 1) -> str:
    """A figure with its bounds below it, the upper one open when it is not known."""
    value, low, high = (row[f"{name}{end}"] for end in ("", "_low", "_high"))
    if value is None:
        return "not known"
    if low == high:
        return _tidy(value, divisor)
    least, most = ("open" if end is None else _tidy(end, divisor) for end in (low, high))
    return f"{_tidy(value, divisor)}\n{least} to {most}"


def _tidy(value: float, divisor: float) -> str:
    return f"{value / divisor:.{0 if divisor == 1 else 1}f}"


def _short(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _plain(found: Explanation, body: Body) -> dict[str, Any]:
    return {
        "reps": found.reps.to_dicts(),
        "reach_cm": _reaches(found, body),
        "totals": _totals(found),
        "not_counted": [{"movement": movement, "reason": reason} for movement, reason in found.not_counted],
        "assumptions": list(found.assumptions),
        "narrowing": found.narrowing.to_dicts(),
        "scope": found.scope,
    }
