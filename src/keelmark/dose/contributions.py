"""The way back from a weekly figure to the efforts, and so to the words and rows, that made it."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.frames import EFFORT
from keelmark.dose.effort_dose import effort_doses
from keelmark.dose.energy import energy_efforts
from keelmark.dose.grip import grip_fatigue_efforts
from keelmark.dose.high_rep import high_rep_efforts
from keelmark.dose.lumbar import lumbar_efforts
from keelmark.dose.session_load import session_doses

__all__ = ["contributions", "contributions_to"]

_KEY = ["athlete_id", "week", "channel"]
_ADDED = ["contribution", "contribution_low", "contribution_high"]


def contributions(
    efforts: pl.DataFrame,
    sessions: pl.DataFrame,
    athletes: pl.DataFrame,
    rep_maxima: pl.DataFrame,
    catalogue: Catalogue,
    *,
    athlete_id: str,
    week: str,
    channel: str,
) -> pl.DataFrame:
    """Efforts behind one weekly figure, largest first.

    Parameters
    ----------
    efforts, sessions, athletes, rep_maxima, catalogue
        As for `daily_dose`.
    athlete_id, week, channel : str
        Key of the athlete, ISO week, key of the channel.

    Returns
    -------
    DataFrame
        As `contributions_to`, without `week` and `channel`.
    """
    keys = pl.DataFrame({"athlete_id": [athlete_id], "week": [week], "channel": [channel]})
    rows = contributions_to(keys, efforts, sessions, athletes, rep_maxima, catalogue)
    return rows.drop("week", "channel")


def contributions_to(
    keys: pl.DataFrame,
    efforts: pl.DataFrame,
    sessions: pl.DataFrame,
    athletes: pl.DataFrame,
    rep_maxima: pl.DataFrame,
    catalogue: Catalogue,
) -> pl.DataFrame:
    """Efforts behind several weekly figures at once.

    Parameters
    ----------
    keys : DataFrame
        Columns `athlete_id`, `week`, `channel`.
    efforts, sessions, athletes, rep_maxima, catalogue
        As for `daily_dose`.

    Returns
    -------
    DataFrame
        The columns of `EFFORT`, then `week`, `channel`, `contribution`, `contribution_low`, `contribution_high` in
        the unit of the channel (empty where not known) and `share` of the week's known amount, of its largest value
        for a peak. Efforts that add nothing are left out. Largest first within each key, unknown ones last. A session
        load has one row per session, with movement `session`.
    """
    keys = keys.select(_KEY).unique(maintain_order=True)
    own = efforts.filter(pl.col("athlete_id").is_in(keys["athlete_id"].unique().to_list()))
    own = own.with_columns(week=_week())
    wanted = keys.filter(pl.col("channel") != "session_load")
    rows = own.with_row_index("effort").join(
        _doses(own, wanted, athletes, rep_maxima, catalogue), on="effort", how="inner", maintain_order="left"
    )
    found = [
        rows.join(wanted, on=_KEY, how="semi", maintain_order="left").drop("effort"),
        _sessions_behind(keys, own, sessions),
    ]
    whole = pl.when(pl.col("channel").is_in([key for key, c in CHANNEL_BY_KEY.items() if c.gather == "max"]))
    total = whole.then(pl.col("contribution").max().over(_KEY)).otherwise(pl.col("contribution").sum().over(_KEY))
    adds_nothing = (pl.col("contribution_high") == 0).fill_null(False)
    return (
        pl.concat(found)
        .filter(~adds_nothing)
        .select(*EFFORT.names, "week", "channel", *_ADDED)
        .with_columns(share=pl.when(total > 0).then(pl.col("contribution") / total))
        .sort([*_KEY, "contribution", "date", "order"], descending=[False] * 3 + [True, False, False], nulls_last=True)
    )


def _week() -> pl.Expr:
    return pl.col("date").dt.strftime("%G-W%V")


def _doses(
    own: pl.DataFrame, keys: pl.DataFrame, athletes: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue
) -> pl.DataFrame:
    """Doses of the efforts in the weeks asked for; maxima are read from the athlete's whole record."""
    asked = set(keys["channel"])
    numbered = own.with_row_index("effort")
    inside = numbered.join(keys, on=["athlete_id", "week"], how="semi", maintain_order="left")
    some = inside.select(EFFORT.names)
    parts = [effort_doses(some, catalogue)]
    if any(name.startswith("lumbar_") for name in asked):
        parts.append(lumbar_efforts(some, athletes, catalogue))
    if any(name.startswith("energy_") for name in asked):
        parts.append(energy_efforts(some, athletes, catalogue))
    if "grip_fatigue" in asked:
        parts.append(grip_fatigue_efforts(some, athletes, catalogue))
    places = inside["effort"]
    found = [_named(part).with_columns(effort=places.gather(part["effort"])) for part in parts]
    if "high_rep" in asked:
        found.append(_named(high_rep_efforts(own.select(EFFORT.names), rep_maxima, catalogue)))
    return pl.concat(found)


def _named(doses: pl.DataFrame) -> pl.DataFrame:
    return doses.select(
        pl.col("effort").cast(pl.UInt32),
        "channel",
        contribution="value",
        contribution_low="low",
        contribution_high="high",
    )


def _plain(name: str) -> pl.Expr:
    """A number without a trailing `.0`."""
    return pl.col(name).cast(pl.String).str.strip_suffix(".0")


def _sessions_behind(keys: pl.DataFrame, own: pl.DataFrame, sessions: pl.DataFrame) -> pl.DataFrame:
    """One row per session, in the columns of an effort, with the row of the file that the session begins in."""
    loads = session_doses(own, sessions).with_columns(week=_week(), channel=pl.lit("session_load"))
    loads = loads.join(keys, on=_KEY, how="semi", maintain_order="left")
    rated = pl.format("session rated {} for {} min", *(_plain(name) for name in ("session_rpe", "duration_min")))
    words = rated.fill_null(pl.lit("session without a rating or a length"))
    imports = pl.concat([sessions, own], how="diagonal").group_by("athlete_id", "session_id").agg(pl.first("import_id"))
    session = ["athlete_id", "session_id"]
    begins = own.filter(pl.col("source_row").is_not_null()).sort("source_row")
    begins = begins.group_by([*session, "import_id"]).agg(pl.first("source", "source_row", "source_line"))
    loads = loads.join(imports, on=session, how="left", maintain_order="left")
    shown = loads.join(begins, on=[*session, "import_id"], how="left", maintain_order="left").select(
        "athlete_id",
        "date",
        "session_id",
        "import_id",
        "week",
        "channel",
        order=pl.lit(0, dtype=pl.Int32),
        movement=pl.lit("session"),
        version=pl.lit("as_written", dtype=EFFORT.polars["version"]),
        sets=pl.lit(1, dtype=pl.Int32),
        load_basis=pl.lit("none", dtype=EFFORT.polars["load_basis"]),
        duration_s=pl.col("duration_min") * 60.0,
        share_low=pl.lit(1.0),
        share_high=pl.lit(1.0),
        rpe="session_rpe",
        source=pl.col("source").fill_null(pl.lit("log", dtype=EFFORT.polars["source"])),
        source_row="source_row",
        source_line="source_line",
        text=words,
        contribution="value",
        contribution_low="low",
        contribution_high="high",
    )
    empty = EFFORT.empty().with_columns(
        week=pl.lit(None, pl.String),
        channel=pl.lit(None, pl.String),
        **{name: pl.lit(None, pl.Float64) for name in _ADDED},
    )
    return pl.concat([empty, shown], how="diagonal")
