"""Parts: nothing is lost, groups stay together, and only their owner can read them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.errors import SettingError
from keelmark.engine import Tables, read_manifest, read_part, run_figures, write_partitions
from keelmark.engine.partitions import bucket_of
from keelmark.service import Squad
from keelmark.service.parting import write_parts
from tests.engine.conftest import CATALOGUE, LAST, apart, squads, whole_house, written

DEMO = Path(__file__).parents[2] / "data" / "demo" / "log.csv"
NAMES = ("athletes", "efforts", "sessions", "rep_maxima", "day_states")


def _parts(folder: str) -> Iterator[tuple[int, Tables]]:
    manifest = read_manifest(folder)
    for bucket, files in zip(manifest.buckets, manifest.files, strict=True):
        for part in read_part(folder, bucket, files):
            yield bucket, part


def test_every_row_lies_in_one_part(tables: Tables, parts: str) -> None:
    told = [part for _, part in _parts(parts)]
    for name in NAMES:
        whole = pl.concat(getattr(part, name) for part in told)
        assert whole.sort(whole.columns).equals(getattr(tables, name).sort(whole.columns)), name
    for part in told:
        assert part.efforts["athlete_id"].is_sorted()
        assert set(part.efforts["athlete_id"]) <= set(part.athletes["athlete_id"])


def test_squads_one_after_another_are_all_read(tmp_path: Path) -> None:
    """Each squad has some of the buckets only, so that many buckets begin with a later squad."""
    several = list(apart(squads(8, seed) for seed in range(5)))
    write_partitions(iter(several), str(tmp_path / "in"), buckets=7, last=LAST)
    outcome = run_figures(str(tmp_path / "in"), str(tmp_path / "out"), CATALOGUE)
    assert outcome.efforts == sum(tables.efforts.height for tables in several)
    whole = pl.concat(whole_house(tables) for tables in several)
    key = ["athlete_id", "channel", "monday"]
    assert written(tmp_path / "out").sort(key).equals(whole.sort(key), null_equal=True)


@pytest.mark.parametrize("plain", [False, True])
def test_a_part_with_other_efforts_than_counted_is_refused(tables: Tables, tmp_path: Path, plain: bool) -> None:
    manifest = write_partitions(tables, str(tmp_path / "in"), buckets=64, last=LAST)
    one = tmp_path / "in" / "efforts" / f"bucket={manifest.buckets[0]:05d}" / "part-00000.parquet"
    pl.read_parquet(one).head(-1).write_parquet(one)
    with pytest.raises(SettingError, match=f"part {manifest.buckets[0]} holds {manifest.efforts[0] - 1:,} efforts"):
        run_figures(str(tmp_path / "in"), str(tmp_path / "out"), CATALOGUE, plain=plain)
    assert not (tmp_path / "out" / "figures.json").exists()
    one.unlink()
    with pytest.raises(SettingError, match=r"part-00000.parquet is not in"):
        run_figures(str(tmp_path / "in"), str(tmp_path / "out"), CATALOGUE, plain=plain)


def test_a_group_is_never_split(tables: Tables, parts: str) -> None:
    where: dict[str | None, set[int]] = {}
    for bucket, part in _parts(parts):
        for group in part.athletes["group"].unique():
            where.setdefault(group, set()).add(bucket)
    assert len(where) == 4
    assert all(len(buckets) == 1 for buckets in where.values())


@pytest.mark.parametrize(("group", "bucket"), [(None, 0), ("123456789", 0xCBF43926 % 64)])
def test_buckets_are_the_same_everywhere(group: str | None, bucket: int) -> None:
    """CRC-32 of nothing is 0; its published check value is CBF43926 for the digits 1 to 9 (Koopman's CRC catalogue)."""
    assert bucket_of(group, 64) == bucket


def test_only_the_owner_reads_what_lies_on_this_machine(parts: str, tmp_path: Path) -> None:
    run_figures(parts, str(tmp_path / "out"), CATALOGUE, plain=True)
    for root in (Path(parts), tmp_path / "out"):
        for path in (root, *root.rglob("*")):
            assert path.stat().st_mode & 0o777 == (0o700 if path.is_dir() else 0o600), path


def test_an_object_store_does_as_well(tables: Tables, tmp_path: Path, parts: str) -> None:
    """`memory://` is fsspec's own store without a disk."""
    write_partitions(tables, "memory://km/in", buckets=64, last=LAST)
    there = run_figures("memory://km/in", "memory://km/out", CATALOGUE, plain=True)
    assert there == run_figures(parts, str(tmp_path), CATALOGUE, plain=True)


@pytest.mark.parametrize(
    ("address", "found"),
    [("nowhere-at-all", "parts.json is not in"), ("quux://x/y", "cannot be opened")],
)
def test_a_folder_without_parts_is_refused(address: str, found: str, tmp_path: Path) -> None:
    where = str(tmp_path / address) if "://" not in address else address
    with pytest.raises(SettingError, match=found):
        run_figures(where, str(tmp_path / "out"), CATALOGUE)


def test_parts_are_not_written_over_others(tables: Tables, parts: str) -> None:
    with pytest.raises(SettingError, match="is not empty"):
        write_partitions(tables, parts, last=LAST)


def test_parts_of_another_release_are_refused(tmp_path: Path) -> None:
    (tmp_path / "parts.json").write_text('{"format": 99}')
    with pytest.raises(SettingError, match="the parts have format 99"):
        run_figures(str(tmp_path), str(tmp_path / "out"), CATALOGUE)


def test_a_squad_in_parts_has_its_own_figures_and_no_words(tmp_path: Path) -> None:
    with Squad.open(f"sqlite:///{tmp_path}/squad.db") as squad:
        log = tmp_path / "log.csv"
        log.write_text("\n".join(DEMO.read_text().splitlines()[:400]))
        squad.import_log(log, roster=DEMO.with_name("roster.csv"))
        manifest = write_parts(squad.season(), squad.settings(), str(tmp_path / "in"), 8)
        run_figures(str(tmp_path / "in"), str(tmp_path / "out"), squad.catalogue)
        weekly = squad.season().weekly
        names = squad.season().athletes["name"].to_list()
    frame = pl.concat(pl.read_parquet(file) for file in sorted((tmp_path / "out").glob("weekly/*/*.parquet")))
    key = ["athlete_id", "channel", "monday"]
    assert frame.sort(key).equals(weekly.sort(key), null_equal=True)
    assert isinstance(manifest.last, date)
    content = b"".join(file.read_bytes() for file in (tmp_path / "in").rglob("*.parquet"))
    assert not [name for name in names if name.encode() in content]
