"""The mechanics of a session read from a whiteboard, told rep by rep; behind `keelmark read --explain`."""

from __future__ import annotations

import datetime as dt
import json
from typing import TYPE_CHECKING, Any

import typer

from keelmark.cli.commands.mechanics_beside import printed_beside
from keelmark.cli.commands.mechanics_words import printed
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError

if TYPE_CHECKING:
    from keelmark.dose.lumbar_explain import Explanation
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
) -> Explanation:
    """The mechanics of a reading for one body.

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
    body_of(body_mass_kg, stature_cm, sex)  # type: ignore[arg-type]
    person: dict[str, object] = {"athlete_id": _WHO, "name": "Athlete", "body_mass_kg": body_mass_kg}
    athlete = ATHLETE.build([{**person, "stature_cm": stature_cm, "sex": sex}])
    maxima: list[dict[str, object]] = [
        {"athlete_id": _WHO, "movement": lift, "date": _DAY, "load_kg": load, "state": "stated"}
        for lift, load in rep_maxima_kg.items()
    ]
    efforts = to_efforts_frame(reading, athlete_id=_WHO, date=_DAY, session_id="session", import_id="read")
    return explain(efforts, athlete, reading.catalogue or shipped_catalogue(), rep_maxima=REP_MAXIMUM.build(maxima))


def tell_mechanics(found: Explanation, *, as_json: bool) -> None:
    """Print an explanation, as tables to read or as one JSON object."""
    if as_json:
        typer.echo(json.dumps(_plain(found), ensure_ascii=False))
        return
    from rich.console import Console

    console = Console(highlight=False)
    for piece, style in (*printed(found), *printed_beside(found), (found.scope, "dim")):
        if isinstance(piece, str):
            console.print(piece, markup=False, style=style)
        else:
            console.print(piece)


def _plain(found: Explanation) -> dict[str, Any]:
    surely, perhaps, known = found.beyond_fit
    return {
        "reps": found.reps.to_dicts(),
        "totals": [_named(row) for row in found.totals.iter_rows(named=True)],
        "beside": [_named(row) for row in found.beside.iter_rows(named=True)],
        "high_rep": found.high_rep.drop("athlete_id", "date").to_dicts(),
        "landings": found.landings.drop("athlete_id", "date").to_dicts(),
        "hanging": found.hanging.drop("athlete_id", "date").to_dicts(),
        "beyond_fatigue_law": {"reps": surely, "at_most": perhaps, "of": known},
        "not_counted": [{"movement": movement, "reason": reason} for movement, reason in found.not_counted],
        "assumptions": list(found.assumptions),
        "narrowing": found.narrowing.to_dicts(),
        "scope": found.scope,
    }


def _named(row: dict[str, Any]) -> dict[str, Any]:
    channel = CHANNEL_BY_KEY[row["channel"]]
    return {**row, "label": channel.label, "unit": channel.unit}
