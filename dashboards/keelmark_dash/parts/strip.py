"""The season strip: athletes as rows, weeks from left to right, a hull gauge in each cell."""

from __future__ import annotations

from itertools import groupby

from keelmark.contracts.channels import Channel
from keelmark.contracts.display import shown_unit
from keelmark_dash.address import Address
from keelmark_dash.parts.hull import gauge
from keelmark_dash.parts.markup import tag, text
from keelmark_dash.readings import AthleteRow, Gauge
from keelmark_dash.words import amount_parts, cell_words, digits_of, week_dates, week_monday, week_title

__all__ = ["strip", "strip_cells"]

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def strip(
    rows: list[AthleteRow],
    weeks: list[str],
    labels: list[str],
    channel: Channel,
    address: Address,
    cells: list[list[str]] | None = None,
) -> str:
    """The drawing of a season strip; each cell leads to the rows behind it.

    With `show` set to `numbers` in the address the cells hold figures in place of gauges. `cells` are those of
    `strip_cells`, where they are at hand.
    """
    caption = tag(
        "caption",
        text(
            f"{channel.label} in {shown_unit(channel.unit)}, one gauge per athlete and week. "
            "Arrow keys move between weeks."
        ),
    )
    entry = _entry(rows, weeks, address.week)
    cells = strip_cells(rows, weeks, channel, address) if cells is None else cells
    body = "".join(_row(row, own, weeks, address, entry) for row, own in zip(rows, cells, strict=True))
    table = tag("table", caption + _head(weeks, labels, address.week) + tag("tbody", body), _class="strip", role="grid")
    return tag(
        "div",
        table,
        _class="strip-scroll",
        tabindex="0",
        role="region",
        aria_label=f"Season strip, {channel.label}; scrolls sideways",
        data_scroll_to="th.chosen",
    )


def strip_cells(rows: list[AthleteRow], weeks: list[str], channel: Channel, address: Address) -> list[list[str]]:
    """What stands in each cell, the same whichever week is chosen."""
    return [_cells(row, weeks, channel, address) for row in rows]


def _entry(rows: list[AthleteRow], weeks: list[str], chosen: str) -> tuple[str, str]:
    """Athlete and week of the one gauge in the tab order: the chosen week where somebody has it, else the first."""
    there = [(row.athlete_id, week) for row in rows for week, shown in zip(weeks, row.gauges, strict=True) if shown]
    return next((cell for cell in there if cell[1] == chosen), there[0] if there else ("", ""))


def _head(weeks: list[str], labels: list[str], chosen: str) -> str:
    months = [(week_monday(week).year, week_monday(week).month) for week in weeks]
    spans: list[tuple[tuple[int, int], int]] = []
    for month in months:
        if spans and spans[-1][0] == month:
            spans[-1] = (month, spans[-1][1] + 1)
        else:
            spans.append((month, 1))
    top = "".join(
        tag("th", _month(month, wide=span > 1), colspan=span, scope="colgroup", _class="month") for month, span in spans
    )
    low = "".join(
        tag(
            "th",
            tag("span", str(int(week.split("-W")[1])), aria_hidden="true")
            + tag("span", text(week_title(week)), _class="hidden"),
            scope="col",
            title=week_dates(week),
            _class="chosen" if week == chosen else None,
        )
        for week in weeks
    )
    corner = tag("th", "Athlete", rowspan=3 if any(labels) else 2, scope="col", _class="who")
    named = tag("tr", _labels(labels)) if any(labels) else ""
    return tag("thead", tag("tr", corner + top) + named + tag("tr", low))


def _labels(labels: list[str]) -> str:
    cells = []
    for label, weeks in groupby(labels):
        span = len(list(weeks))
        words = tag("span", text(label)) if label else ""
        kind = "label named" if label else "label"
        cells.append(tag("td" if not label else "th", words, colspan=span, title=label or None, _class=kind))
    return "".join(cells)


def _month(month: tuple[int, int], *, wide: bool) -> str:
    year, place = month
    name = _MONTHS[place - 1]
    return f"{name} {year}" if wide and place == 1 else name


def _row(row: AthleteRow, cells: list[str], weeks: list[str], address: Address, entry: tuple[str, str]) -> str:
    link = address.link("/athlete", athlete=row.athlete_id)
    who = tag("th", tag("a", text(row.name), href=link), scope="row", _class="who")
    parts = [who]
    for week, inside in zip(weeks, cells, strict=True):
        if (row.athlete_id, week) == entry:
            inside = inside.replace('tabindex="-1"', 'tabindex="0"', 1)
        parts.append(f'<td class="chosen">{inside}</td>' if week == address.week else f"<td>{inside}</td>")
    return tag("tr", "".join(parts))


def _cells(row: AthleteRow, weeks: list[str], channel: Channel, address: Address) -> list[str]:
    any_week = text(address.link("/athlete", athlete=row.athlete_id, week=None))
    cells = []
    for week, shown in zip(weeks, row.gauges, strict=True):
        if shown is None:
            cells.append(_absent(row, week))
            continue
        words = text(
            cell_words(row.name, week, shown.value, shown.place, (shown.lower, shown.upper), channel.unit,
                       shown.known_days, (shown.low, shown.high))
        )  # fmt: skip
        drawn = _figure(shown, channel.unit) if address.show == "numbers" else gauge(shown)
        cells.append(
            f'<a href="{any_week}&amp;week={week}" class="cell {text(shown.place)}" aria-label="{words}" '
            f'title="{words}" tabindex="-1">{drawn}</a>'
        )
    return cells


def _absent(row: AthleteRow, week: str) -> str:
    why = "none of it on record" if week in row.there else "not in the squad"
    mark = tag("span", "–", aria_hidden="true") if week in row.there else ""
    words = f"{row.name}, {week_title(week).lower()}: {why}"
    return tag("span", mark + tag("span", text(words), _class="hidden"), _class="no-week", title=words)


def _figure(shown: Gauge, unit: str) -> str:
    value = "?" if shown.value is None else _digits(shown, shown.value, unit)
    return tag("span", text(value), aria_hidden="true", _class="cell-figure") + (
        f'<svg class="place-sign" aria-hidden="true" focusable="false"><use href="#sign-{text(shown.place)}"/></svg>'
    )


def _digits(shown: Gauge, value: float, unit: str) -> str:
    """The figure with as many digits as its interval leaves, as on the athlete's own page."""
    place = digits_of(value, shown.low, shown.high, (shown.lower, shown.upper), unit)
    return amount_parts(value, unit, place=place)[0]
