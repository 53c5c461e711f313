"""A copy of the load data is a store of its own and holds no health data."""

from __future__ import annotations

from pathlib import Path

from keelmark.store import Store, copy_load_data
from tests.store.made import day_state, effort, efforts, rep_maximum, save, squad


def test_a_copy_holds_the_same_and_goes_its_own_way(address: str, tmp_path: Path) -> None:
    with Store.open(address) as store:
        first = save(store, "one", athletes=squad("bo"), efforts=efforts(effort(), effort(movement="clean")))
        store.set_day_states(day_state("rest"))
        store.save_rep_maxima(rep_maximum(140.0))
        store.set_setting("quiet_days", "rest")
        store.record_check_in("bo", "2026-W02", scale_id="own/1", answers={})
        before = store.efforts()
        with copy_load_data(store, tmp_path / "copy.sqlite") as copy:
            assert copy.efforts().equals(before)
            assert copy.imports().equals(store.imports())
            assert copy.rep_maxima().equals(store.rep_maxima())
            assert copy.day_states().equals(store.day_states())
            assert copy.settings() == {"quiet_days": "rest"}
            assert copy.check_ins().is_empty()
            copy.undo_import(first.import_id)
            assert copy.efforts().is_empty()
        assert store.efforts().equals(before)
        assert store.check_ins().height == 1
