"""From an address to a page: which one, what of it changes, and what the address names that does not exist."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from dash import html

from keelmark_dash.address import Address, settle
from keelmark_dash.desk import Desk, SeasonView
from keelmark_dash.page import Page, Visit
from keelmark_dash.parts.first_steps import first_steps
from keelmark_dash.parts.scope import remark

__all__ = ["Arrival", "arrive", "changed_regions", "settled_at_first", "visit"]


@dataclass(frozen=True, slots=True)
class Arrival:
    """What a whole page consists of at an address."""

    content: list[Any]
    title: str
    remarks: list[Any]
    libraries: tuple[str, ...] = ()


STILL_ADDED_UP = (
    "Something new was written and is being added up. Until then these are the figures of {time}. Load the page again "
    "in a moment."
)


def visit(desk: Desk, search: str, *, newest: bool = False) -> tuple[Visit, list[Any]]:
    """Settle an address against the season; the remarks say what it names that does not exist."""
    season = desk.season(newest=newest)
    asked = Address.parse(search)
    address, words = _settled(asked, season)
    since = desk.before_the_last_write(season)
    if since is not None:
        words = [*words, STILL_ADDED_UP.format(time=f"{since:%H:%M}")]
    return Visit(desk.squad, season, address, asked, desk.person, desk.jobs), [remark(said) for said in words]


def settled_at_first(season: SeasonView) -> Address:
    """What an address that names nothing shows."""
    return _settled(Address.parse(""), season)[0]


def _settled(asked: Address, season: SeasonView) -> tuple[Address, list[str]]:
    return settle(
        asked,
        weeks=season.weeks,
        channels=season.channels,
        athletes=season.athletes["athlete_id"].to_list(),
        groups=season.groups,
    )


def arrive(pages: Sequence[Page], path: str, here: Visit, remarks: list[Any]) -> Arrival:
    """The page at a path, or what stands in its place."""
    page = next((page for page in pages if page.path == path), None)
    if page is None:
        content = [html.H1("No such page"), html.P(f"There is no page at {path}. The pages stand at the top.")]
        return Arrival(content, "Not here", [])
    if page.needs_records and not here.season.weeks:
        return Arrival(first_steps(), "First steps", [])
    return Arrival(page.layout(here), page.title, remarks, page.libraries)


def changed_regions(page: Page, here: Visit, before: dict[str, str]) -> dict[str, list[Any]]:
    """New content of the regions of a page that show something else than before."""
    return {region.name: region.build(here) for region in page.regions if region.changes(before, here.address)}
