"""A season of whiteboard texts and a sheet of scores: one reading for each athlete and day."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import polars as pl

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import EFFORT, SESSION
from keelmark.notation.context import Context
from keelmark.notation.frames import effort_rows
from keelmark.notation.issues import Issue
from keelmark.notation.read import read

__all__ = ["ScoreRow", "SeasonWork", "season_work", "split_season"]

_DAY = re.compile(
    r"^[#=*\s]*(?:[^\W\d_]+\.?,?\s+)?(?:(?P<y>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})|(?P<d2>\d{1,2})[./](?P<m2>\d{1,2})[./](?P<y2>\d{4}))[\s:.=*-]*$"
)
_ARROW = re.compile(r"\s*(?:->|→|=>|>)\s*")
_AS_WRITTEN = frozenset(["", "as written", "as_written", "rx", "written", "a"])
_SCALED = frozenset(["scaled", "sc", "s", "scaled option"])


@dataclass(frozen=True, slots=True)
class ScoreRow:
    """One line of a score sheet.

    Parameters
    ----------
    date : datetime.date
        Day of the session.
    context : Context
        The athlete's standard, body mass and maxima; its result and option are taken from the fields below.
    athlete_id : str
        Who.
    version : str
        "as written", "scaled", or swaps such as "toes to bar -> hanging knee raise, run -> row".
    result : str, optional
        The score as written.
    rpe : float, optional
        Rating of the session, 0 to 10.
    row : int, optional
        Data row in the sheet.
    """

    date: datetime.date
    athlete_id: str
    context: Context
    version: str = ""
    result: str | None = None
    rpe: float | None = None
    row: int | None = None


@dataclass(slots=True)
class SeasonWork:
    """What a season's texts and scores gave.

    Attributes
    ----------
    efforts, sessions : DataFrame
        EFFORT and SESSION tables.
    issues : list of (ScoreRow, Issue)
        Doubts, with the line of the sheet they belong to.
    refused : list of (ScoreRow, str)
        Lines that could not be used, with the reason.
    unscored : list of date
        Days with a text and no line in the sheet.
    """

    efforts: pl.DataFrame
    sessions: pl.DataFrame
    issues: list[tuple[ScoreRow, Issue]] = field(default_factory=list)
    refused: list[tuple[ScoreRow, str]] = field(default_factory=list)
    unscored: list[datetime.date] = field(default_factory=list)


def split_season(text: str, where: str = "season text") -> dict[datetime.date, str]:
    """The text of each day; a line that holds nothing but a date (2026-03-14 or 14.03.2026) begins a day.

    Raises
    ------
    RefusedInput
        When text stands before the first date, a date does not exist, or a day comes twice.
    """
    days: dict[datetime.date, list[str]] = {}
    lines: list[str] | None = None
    for number, line in enumerate(text.splitlines(), start=1):
        found = _DAY.match(line)
        if found is not None:
            day = _day(found, f"{where}, line {number}", line)
            if day in days:
                raise RefusedInput(
                    f"the day {day.isoformat()} comes twice",
                    where=f"{where}, line {number}",
                    wanted="one text for each day",
                    remedy="put both parts under one date",
                )
            lines = days.setdefault(day, [])
        elif lines is not None:
            lines.append(line)
        elif line.strip():
            raise RefusedInput(
                f'text stands before the first date: "{line.strip()[:40]}"',
                where=f"{where}, line {number}",
                wanted="a line with a date such as 2026-03-14 above each day's text",
                remedy="add the date",
            )
    return {day: "\n".join(lines).strip("\n") for day, lines in days.items()}


def _day(found: re.Match[str], where: str, line: str) -> datetime.date:
    year, month, day = (int(found[a] or found[b]) for a, b in (("y", "y2"), ("m", "m2"), ("d", "d2")))
    try:
        return datetime.date(year, month, day)
    except ValueError as error:
        raise RefusedInput(
            f'"{line.strip()}" is no day of the calendar',
            where=where,
            wanted="a date such as 2026-03-14 or 14.03.2026",
            remedy="correct the date",
        ) from error


def season_work(
    whiteboards: Mapping[datetime.date, str],
    scores: Iterable[ScoreRow],
    *,
    import_id: str,
    catalogue: Catalogue | None = None,
) -> SeasonWork:
    """The efforts of every line of a score sheet, read from the text of its day."""
    catalogue = catalogue or shipped_catalogue()
    rows: list[dict[str, object]] = []
    sessions: list[dict[str, object]] = []
    work = SeasonWork(EFFORT.empty(), SESSION.empty())
    seen: set[tuple[datetime.date, str]] = set()
    for score in scores:
        reason = _refusal(score, whiteboards, seen)
        context = None if reason else _context(score, catalogue)
        if isinstance(context, str) or context is None:
            work.refused.append((score, reason or str(context)))
            continue
        seen.add((score.date, score.athlete_id))
        text = whiteboards[score.date]
        reading = read(text, context, catalogue)
        session_id = f"{score.athlete_id}:{score.date.isoformat()}"
        rows.extend(
            effort_rows(
                reading, athlete_id=score.athlete_id, date=score.date, session_id=session_id, import_id=import_id
            )
        )
        sessions.append(_session(score, session_id, text, import_id))
        work.issues.extend((score, issue) for issue in reading.issues if issue.level != "note")
    work.efforts, work.sessions = EFFORT.build(rows), SESSION.build(sessions)
    work.unscored = sorted(set(whiteboards) - {day for day, _ in seen})
    return work


def _session(score: ScoreRow, session_id: str, text: str, import_id: str) -> dict[str, object]:
    return {
        "session_id": session_id,
        "athlete_id": score.athlete_id,
        "date": score.date,
        "session_rpe": score.rpe,
        "whiteboard": text,
        "result": score.result,
        "import_id": import_id,
    }


def _refusal(
    score: ScoreRow, whiteboards: Mapping[datetime.date, str], seen: set[tuple[datetime.date, str]]
) -> str | None:
    if score.date not in whiteboards:
        return f"no whiteboard text for {score.date.isoformat()}"
    if (score.date, score.athlete_id) in seen:
        return f"a second line for {score.athlete_id} on {score.date.isoformat()}"
    if score.rpe is not None and not 0 <= score.rpe <= 10:
        return f"a rating of {score.rpe:g}, where 0 to 10 is wanted"
    return None


def _context(score: ScoreRow, catalogue: Catalogue) -> Context | str:
    """The athlete's context with option, swaps and result of the line, or why the version cannot be used."""
    version = score.version.strip().casefold()
    if version in _AS_WRITTEN:
        return replace(score.context, option="as_written", result=score.result)
    if version in _SCALED:
        return replace(score.context, option="scaled", result=score.result)
    swaps: dict[str, str] = {}
    for part in re.split(r"[,;]", score.version):
        names = _ARROW.split(part.strip())
        found = [catalogue.names.find(name) for name in names]
        if len(found) != 2 or found[0] is None or found[1] is None:
            return f'the version "{score.version}" is neither "as written", "scaled" nor a swap such as "run -> row"'
        swaps[found[0]] = found[1]
    return replace(score.context, option="as_written", swaps=swaps, result=score.result)
