"""An athlete's answers as lanes under the hulls of the same weeks."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.contracts.channels import Channel
from keelmark.health import area_label
from keelmark_dash.address import Address
from keelmark_dash.check_in_words import LANES_NOTE, cell_said
from keelmark_dash.figures.grid_picture import GridPicture
from keelmark_dash.parts.hull import definitions, gauge
from keelmark_dash.parts.markup import tag, text
from keelmark_dash.readings import own_gauge
from keelmark_dash.words import cell_words, week_dates, week_title

__all__ = ["complaint_lanes", "lanes_picture"]

_LARGEST = 11.0


def complaint_lanes(
    said: pl.DataFrame, weeks: pl.DataFrame, shown: list[str], channel: Channel, address: Address, name: str
) -> str:
    """The drawing: weeks from left to right, the work of each on top, one lane for each part of the body.

    Parameters
    ----------
    said : DataFrame
        WEEK_SAID table of the athlete.
    weeks : DataFrame
        The athlete's weeks of one channel with their marks.
    shown : list of str
        ISO weeks of the columns.
    channel : Channel
        Of `weeks`.
    address : Address
        Gives the chosen week; cells of the first lane lead to the rows behind them.
    name : str
        The athlete's.
    """
    by_week = {row["week"]: row for row in weeks.iter_rows(named=True)}
    answers = _answers(said, shown)
    areas = _areas(answers)
    lanes = [_work(by_week, weeks, shown, channel, address, name), _answered(answers, shown, address)]
    lanes += [_lane(area, answers, shown, address) for area in areas]
    caption = tag("caption", text(f"{channel.label} and complaints of {name}, week by week"))
    table = tag("table", caption + _head(shown, address) + tag("tbody", "".join(lanes)), _class="lanes")
    return tag(
        "div", table, _class="lanes-scroll", tabindex="0", role="region",
        aria_label=f"Work and complaints of {name}; scrolls sideways", data_scroll_to="th.chosen",
    )  # fmt: skip


def lanes_picture(
    said: pl.DataFrame, weeks: pl.DataFrame, shown: list[str], channel: Channel, name: str
) -> GridPicture:
    """The same drawing as a picture that stands alone; parameters as in `complaint_lanes`."""
    by_week = {row["week"]: row for row in weeks.iter_rows(named=True)}
    answers = _answers(said, shown)
    work = [gauge(own_gauge(by_week[week], weeks)) if week in by_week else "" for week in shown]
    lanes = [(area_label(area), [_drawn(answers.get(week), area) for week in shown]) for area in _areas(answers)]
    return GridPicture(
        f"{channel.label} and complaints of {name}, {week_dates(shown[0])} and the {len(shown) - 1} weeks after it",
        LANES_NOTE,
        [str(int(week.split("-W")[1])) for week in shown],
        [(channel.label, work), ("Answer", [_answer_sign(answers.get(week)) for week in shown]), *lanes],
        definitions(),
    )


_Answer = dict[str | None, float | None]
"""What was told of a week: areas with their severity; None stands for a week in which all was well."""


def _answers(said: pl.DataFrame, shown: list[str]) -> dict[str, _Answer]:
    answers: dict[str, _Answer] = {}
    for row in said.filter(pl.col("week").is_in(shown)).iter_rows(named=True):
        answers.setdefault(row["week"], {})[row["area"]] = row["severity"]
    return answers


def _areas(answers: dict[str, _Answer]) -> list[str]:
    return sorted({area for told in answers.values() for area in told if area}, key=area_label)


def _answer_sign(told: _Answer | None) -> str:
    return _svg("none" if told is None else "well" if None in told else "told")


def _drawn(told: _Answer | None, area: str) -> str:
    if told is None or area not in told:
        return _svg("none") if told is None else ""
    return _disc(told[area])


def _chosen(week: str, address: Address) -> str | None:
    return "chosen" if week == address.week else None


def _head(shown: list[str], address: Address) -> str:
    cells = [
        tag(
            "th",
            tag("span", str(int(week.split("-W")[1])), aria_hidden="true")
            + tag("span", text(week_title(week)), _class="hidden"),
            scope="col", title=week_dates(week), _class=_chosen(week, address),
        )
        for week in shown
    ]  # fmt: skip
    return tag("thead", tag("tr", tag("th", "Week", scope="col", _class="who") + "".join(cells)))


def _row(title: str, cells: list[str], shown: list[str], address: Address, kind: str = "") -> str:
    placed = "".join(tag("td", cell, _class=_chosen(week, address)) for cell, week in zip(cells, shown, strict=True))
    return tag("tr", tag("th", text(title), scope="row", _class="who") + placed, _class=kind or None)


def _work(
    by_week: dict[str, dict[str, Any]],
    weeks: pl.DataFrame,
    shown: list[str],
    channel: Channel,
    address: Address,
    name: str,
) -> str:
    cells = []
    for week in shown:
        row = by_week.get(week)
        if row is None:
            cells.append(tag("span", "not in the squad", _class="hidden"))
            continue
        words = cell_words(
            name,
            week,
            row["value"],
            row["place"],
            (row["lower"], row["upper"]),
            channel.unit,
            row["known_days"],
            (row["low"], row["high"]),
        )
        link = address.link("/athlete", athlete=address.athlete, week=week)
        cells.append(tag("a", gauge(own_gauge(row, weeks)), href=link, _class="cell", aria_label=words, title=words))
    return _row(channel.label, cells, shown, address)


def _answered(answers: dict[str, _Answer], shown: list[str], address: Address) -> str:
    cells = [
        _sign("none", f"{week_title(week)}: no answer")
        if week not in answers
        else _sign("well", f"{week_title(week)}: all is well")
        if None in answers[week]
        else _sign("told", f"{week_title(week)}: a complaint was told")
        for week in shown
    ]
    return _row("Answer", cells, shown, address)


def _lane(area: str, answers: dict[str, _Answer], shown: list[str], address: Address) -> str:
    cells = []
    for week in shown:
        told = answers.get(week)
        named = told is not None and area in told
        severity = told.get(area) if told else None
        words = cell_said(week_title(week), area, severity, answered=told is not None, named=named)
        cells.append(_severity(severity, words) if named else _sign("none" if told is None else "free", words))
    return _row(area_label(area), cells, shown, address, "complaints")


def _severity(severity: float | None, words: str) -> str:
    """A disc whose area grows with the severity, and the number under it."""
    disc = _disc(severity)
    number = tag("span", "?" if severity is None else f"{severity:.0f}", aria_hidden="true", _class="disc-number")
    return tag("span", disc + number + tag("span", text(words), _class="hidden"), _class="told", title=words)


def _disc(severity: float | None) -> str:
    size = _LARGEST * (max(severity or 0.0, 6.0) / 100.0) ** 0.5
    return (
        f'<svg viewBox="-13 -13 26 26" class="disc" aria-hidden="true" focusable="false"><circle r="{size:.1f}"/></svg>'
    )


_SIGNS = {
    "well": '<path d="M-6 0.500L-1.500 5L6.500 -4.500"/>',
    "told": '<path d="M0 -6V2M0 5.500V6.500"/>',
    "none": '<path d="M-2.500 0H2.500"/>',
    "free": "",
}


def _sign(kind: str, words: str) -> str:
    return tag("span", _svg(kind) + tag("span", text(words), _class="hidden"), title=words)


def _svg(kind: str) -> str:
    return (
        f'<svg viewBox="-13 -13 26 26" class="answer {kind}" aria-hidden="true" focusable="false">{_SIGNS[kind]}</svg>'
    )
