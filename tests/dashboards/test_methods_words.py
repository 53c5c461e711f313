"""Methods says of every figure where it is made, and names the source that its function names."""

from __future__ import annotations

import inspect
import re
from importlib import import_module

import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import FRAMES
from keelmark_dash.desk import Desk
from keelmark_dash.methods_words import FIGURES, FigureNote, channel_note
from keelmark_dash.pages.methods import PAGE
from keelmark_dash.parts.catalogue_grid import catalogue_rows
from keelmark_dash.routing import visit
from tests.dashboards.made_up import MadeUpSquad


@pytest.mark.parametrize("note", FIGURES, ids=lambda note: note.title)
def test_the_function_named_is_there_and_says_its_source(note: FigureNote) -> None:
    module, function = note.code.rsplit(".", 1)
    made = getattr(import_module(module), function)
    written = inspect.getsource(inspect.getmodule(made))
    years = set(re.findall(r"\((\d{4})\)", note.source)) if note.evidence == "published" else set()
    for year in years:
        assert year in written, f"{note.code} does not name a source of {year}"


def test_every_channel_says_how_it_is_made() -> None:
    assert all(channel_note(channel) for channel in CHANNELS)
    assert channel_note(CHANNELS[1]) == "reps × load"


def test_the_page_holds_every_table_and_channel(squad: MadeUpSquad) -> None:
    text = str(PAGE.layout(visit(Desk(squad), "")[0]))
    for schema in FRAMES:
        assert schema.meaning in text or schema.meaning.replace("'", "\\'") in text
    for channel in CHANNELS:
        assert channel.label in text


def test_the_catalogue_can_be_searched_by_every_column() -> None:
    catalogue = shipped_catalogue()
    everything = catalogue_rows(catalogue)
    assert len(everything) == sum(catalogue.evidence_tally().values())
    jumps = catalogue_rows(catalogue, {"movement": {"filter": "Box Jump"}, "evidence": {"filter": "published"}})
    assert all("box jump" in row["movement"] and row["evidence"] == "published" for row in jumps)
    assert catalogue_rows(catalogue, {"movement": {"filter": "no such movement"}}) == []
