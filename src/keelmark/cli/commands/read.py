"""`keelmark read`: what the program understands of a whiteboard text, and of the score beside it."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelmark.cli.commands.mechanics import explained, tell_mechanics
from keelmark.cli.options import AsJson, OwnMovements
from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.contracts.text_file import read_text_file

if TYPE_CHECKING:
    from keelmark.catalogue import Catalogue
    from keelmark.notation import Reading

__all__ = ["read"]


def read(
    file: Annotated[Path | None, typer.Argument(help="A text file; - or nothing reads what is typed or piped.")] = None,
    standard: Annotated[str, typer.Option(help="Which of two written loads: heavier or lighter.")] = "heavier",
    bodyweight: Annotated[float | None, typer.Option(metavar="KG", help="Body mass in kg.")] = None,
    one_rm: Annotated[
        list[str] | None, typer.Option(metavar="LIFT=KG", help="A one-repetition maximum; may be given again.")
    ] = None,
    option: Annotated[str, typer.Option(help="What was done: as_written or scaled.")] = "as_written",
    result: Annotated[str | None, typer.Option(help='The score as written, such as "7+12" or "14:30".')] = None,
    jsonl: Annotated[Path | None, typer.Option(metavar="FILE", help="One JSON object a line in, one out.")] = None,
    explain: Annotated[bool, typer.Option("--explain", help="Tell the mechanics of the back, rep by rep.")] = False,
    stature: Annotated[float | None, typer.Option(metavar="CM", help="Stature in cm, for --explain.")] = None,
    sex: Annotated[str | None, typer.Option(help="female or male, for --explain.")] = None,
    movements: OwnMovements = None,
    as_json: AsJson = False,
) -> None:
    """Read a whiteboard text and show the exact work, every doubt in its place, and the text as it was understood.

    Ends with 0 when all is clear, 1 when there are doubts or errors in the text, 2 when it cannot be read at all.
    """
    from keelmark.catalogue import load_catalogue
    from keelmark.notation import Context, answer
    from keelmark.notation import read as read_text

    if jsonl is not None:
        _alone(movements)
        _read_lines(jsonl, answer)
        return
    catalogue = load_catalogue(movements or ())
    maxima = _maxima(one_rm or [], catalogue)
    context = Context(standard=standard, bodyweight_kg=bodyweight, one_rm=maxima, option=option, result=result)
    reading = read_text(_text(file), context, catalogue)
    if explain:
        found = explained(reading, body_mass_kg=bodyweight, stature_cm=stature, sex=sex, rep_maxima_kg=maxima)
        if not as_json:
            _tell(reading)
        tell_mechanics(found, as_json=as_json)
    elif as_json:
        typer.echo(json.dumps(reading.plain(), ensure_ascii=False))
    else:
        _tell(reading)
    if any(issue.level != "note" for issue in reading.issues):
        raise typer.Exit(1)


def _text(file: Path | None) -> str:
    if file is None or str(file) == "-":
        return sys.stdin.read()
    return read_text_file(file)


def _alone(movements: list[Path] | None) -> None:
    """Many texts at once are read with the shipped movements only."""
    if movements:
        raise SettingError(
            "own movements were given with many texts at once",
            where="options --movements and --jsonl",
            wanted="one of the two",
            remedy="read the texts one by one with --movements",
        )


def _maxima(written: list[str], catalogue: Catalogue) -> dict[str, float]:
    names, maxima = catalogue.names, {}
    for pair in written:
        name, _, kg = pair.partition("=")
        movement = names.find(name)
        try:
            load = float(kg.replace(",", "."))
        except ValueError:
            load = 0.0
        if movement is None or not 0 < load < 1000:
            raise SettingError(
                f"{pair!r} was given",
                where="option --one-rm",
                wanted="a lift, an equals sign and a load in kg, such as deadlift=150",
                remedy="check the lift's name and the figure",
            )
        maxima[movement] = load
    return maxima


def _read_lines(file: Path, answer: Any) -> None:
    for number, line in enumerate(read_text_file(file).splitlines(), start=1):
        if not line.strip():
            continue
        try:
            item = json.loads(line)
            text = item["text"]
        except (ValueError, KeyError, TypeError) as error:
            raise RefusedInput(
                f"the line is not an object with a text ({error})",
                where=f"{file}, line {number}",
                wanted='a JSON object such as {"id": "1", "text": "5x5 back squat", "context": {}}',
                remedy="mend this line",
            ) from error
        if not isinstance(text, str):
            raise RefusedInput(
                f"the text is of type {type(text).__name__}",
                where=f"{file}, line {number}",
                wanted="a string",
                remedy="mend this line",
            )
        typer.echo(json.dumps(answer(item), ensure_ascii=False))


def _tell(reading: Reading) -> None:
    from rich.console import Console
    from rich.table import Table

    from keelmark.catalogue import shipped_catalogue

    console = Console(highlight=False)
    if reading.board:
        console.print("Understood as", style="bold")
        console.print(reading.board, markup=False, soft_wrap=True)
    if reading.efforts:
        names = shipped_catalogue().names
        table = Table("movement", "amount", "load", "height", title="Work done", title_justify="left")
        for row in reading.efforts:
            load = {"none": "", "unknown": "not known"}.get(row.load_basis) or _figure(row.load_kg, "kg")
            table.add_row(names.label(row.movement), _amount(row), load, _figure(row.height_cm, "cm"))
        console.print(table)
    for issue in reading.issues:
        console.print(f"{issue.level}: {issue.message} (line {issue.line}, column {issue.column})", markup=False)
        if issue.picture.strip(" ^\n"):
            console.print(issue.picture, style="dim", markup=False, soft_wrap=True)


def _amount(row: Any) -> str:
    unit = {"reps": "reps", "distance_m": "m", "calories": "kcal", "duration_s": "s"}[row.measure]
    total = f"{row.amount * row.sets:g} {unit}"
    if row.low != row.high:
        return f"{total} ({row.low * row.sets:g} to {row.high * row.sets:g})"
    return total


def _figure(value: float | None, unit: str) -> str:
    return "" if value is None else f"{round(value, 1):g} {unit}"
