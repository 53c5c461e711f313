"""Saving, undoing and saving again in any order keeps exactly what the standing files tell together."""

from __future__ import annotations

from collections import Counter

import polars as pl
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from keelmark.contracts.errors import StoreError
from keelmark.store import Store
from tests.store.made import effort, efforts, save, session, sessions, squad

# A file is a bag of loads: work is told by its load alone, and a load may stand in it several times.
_FILES = st.lists(st.sampled_from([60.0, 80.0, 100.0]), max_size=5)


class AnyOrder(RuleBasedStateMachine):
    """The model: a list of files with their keys, and which of them stand."""

    def __init__(self) -> None:
        super().__init__()
        self.store = Store.open("sqlite://")
        self.store.save_athletes(squad("bo"))
        self.files: dict[str, tuple[float, ...]] = {}
        self.standing: list[str] = []
        self.revision = self.store.revision

    def teardown(self) -> None:
        self.store.close()

    @rule(file=_FILES, rating=st.none() | st.sampled_from([5.0, 7.0]))
    def save(self, file: list[float], rating: float | None) -> None:
        content = f"{file} {rating}"
        rows = efforts(*(effort(load=load) for load in file))
        before = self._told()
        outcome = save(self.store, content, efforts=rows, sessions=sessions(session(session_rpe=rating)))
        again = [key for key in self.standing if self.store.original(key) == content.encode()]
        assert outcome.repeated == bool(again)
        if again:
            assert outcome.import_id == again[0]
            return
        assert outcome.import_id not in self.files
        assert outcome.already_stored == sum((Counter(file) & before).values())
        assert outcome.efforts + outcome.already_stored == len(file)
        self.files[outcome.import_id] = (*file, rating or 0.0)
        self.standing.append(outcome.import_id)

    @precondition(lambda self: self.standing)
    @rule(data=st.data())
    def undo(self, data: st.DataObject) -> None:
        key = data.draw(st.sampled_from(self.standing))
        self.store.undo_import(key)
        self.standing.remove(key)

    @precondition(lambda self: len(self.files) > len(self.standing))
    @rule(data=st.data())
    def undo_again(self, data: st.DataObject) -> None:
        key = data.draw(st.sampled_from(sorted(set(self.files) - set(self.standing))))
        revision = self.store.revision
        with pytest.raises(StoreError, match=f"import '{key}' was undone"):
            self.store.undo_import(key)
        assert self.store.revision == revision

    @invariant()
    def each_piece_of_work_stands_once(self) -> None:
        assert Counter(self.store.efforts()["load_kg"]) == self._told()

    @invariant()
    def each_row_stands_for_the_earliest_file_that_tells_it(self) -> None:
        seen: Counter[float] = Counter()
        for key in sorted(self.standing, key=int):
            file = Counter(self.files[key][:-1])
            own = Counter(self.store.efforts().filter(pl.col("import_id") == key)["load_kg"])
            assert own == file - seen
            seen |= file

    @invariant()
    def the_session_has_the_newest_rating(self) -> None:
        ratings = [self.files[key][-1] for key in sorted(self.standing, key=int) if self.files[key][-1]]
        told = self.store.sessions()["session_rpe"].to_list()
        assert told == ([ratings[-1] if ratings else None] if self.standing else [])

    @invariant()
    def the_ledger_has_every_file(self) -> None:
        ledger = self.store.imports().filter(pl.col("kind") == "log")
        assert ledger["import_id"].to_list() == list(self.files)
        assert ledger.filter(pl.col("undone_at").is_null())["import_id"].to_list() == sorted(self.standing, key=int)

    def _told(self) -> Counter[float]:
        told: Counter[float] = Counter()
        for key in self.standing:
            told |= Counter(self.files[key][:-1])
        return told


TestAnyOrder = AnyOrder.TestCase
TestAnyOrder.settings = settings(max_examples=25, stateful_step_count=15, deadline=None)
