"""The same weekly figures as other people would write them: with pandas, with polars, with DuckDB's window SQL.

Each takes daily amounts (athlete, day number, channel, amount) on a complete calendar of known days, in which a day
without a row is a day of zero, and gives one row per athlete, channel and week: amount, means of 7 and 28 days,
coupled and uncoupled ratio, ratio of weighted means (spans 7 and 28), change, monotony and strain.
"""

from __future__ import annotations

import duckdb
import pandas as pd
import polars as pl

__all__ = ["COLUMNS", "with_duckdb", "with_pandas", "with_polars"]

COLUMNS = (
    "value", "acute", "chronic", "ratio_coupled", "ratio_uncoupled", "ratio_ewma", "change", "monotony", "strain",
)  # fmt: skip
ACUTE, CHRONIC = 0.25, 2 / 29


def with_pandas(rows: pd.DataFrame, days: int) -> pd.DataFrame:
    """Grouped rolling and ewm on a long frame."""
    pairs = rows[["athlete", "channel"]].drop_duplicates()
    calendar = pairs.merge(pd.DataFrame({"day": range(days)}), how="cross")
    full = calendar.merge(rows, on=["athlete", "channel", "day"], how="left").fillna({"amount": 0.0})
    full = full.sort_values(["athlete", "channel", "day"], ignore_index=True)
    grouped = full.groupby(["athlete", "channel"], sort=False)["amount"]
    full["acute"] = grouped.rolling(7, min_periods=6).mean().to_numpy()
    full["chronic"] = grouped.rolling(28, min_periods=21).mean().to_numpy()
    full["before"] = grouped.rolling(21, min_periods=16).mean().to_numpy()
    full["before"] = full.groupby(["athlete", "channel"], sort=False)["before"].shift(7)
    fast = grouped.ewm(alpha=ACUTE, adjust=False).mean().to_numpy()
    slow = grouped.ewm(alpha=CHRONIC, adjust=False).mean().to_numpy()
    full["ratio_ewma"] = fast / slow
    full["week"] = full["day"] // 7
    weeks = full.groupby(["athlete", "channel", "week"], sort=False)["amount"].agg(["sum", "mean", "std"]).reset_index()
    closing = full[full["day"] % 7 == 6].merge(weeks, on=["athlete", "channel", "week"])
    closing["value"] = closing["sum"]
    closing["ratio_coupled"] = closing["acute"] / closing["chronic"]
    closing["ratio_uncoupled"] = closing["acute"] / closing["before"]
    closing["change"] = closing["value"] / closing.groupby(["athlete", "channel"], sort=False)["value"].shift(1) - 1
    closing["monotony"] = closing["mean"] / closing["std"]
    closing["strain"] = closing["value"] * closing["monotony"]
    return closing[["athlete", "channel", "week", *COLUMNS]]


def with_polars(daily: pl.DataFrame, days: int) -> pl.DataFrame:
    """Rolling and ewm expressions over groups of a long frame."""
    pairs = daily.select("athlete", "channel").unique()
    calendar = pairs.join(pl.DataFrame({"day": range(days)}, schema={"day": pl.Int64}), how="cross")
    key = ["athlete", "channel"]
    amount = pl.col("amount")
    weighted = amount.ewm_mean(alpha=ACUTE, adjust=False).over(key) / amount.ewm_mean(alpha=CHRONIC, adjust=False).over(
        key
    )
    full = (
        calendar.join(daily, on=[*key, "day"], how="left")
        .with_columns(amount.fill_null(0.0), week=pl.col("day") // 7)
        .sort(*key, "day")
        .with_columns(
            acute=amount.rolling_mean(7, min_samples=6).over(key),
            chronic=amount.rolling_mean(28, min_samples=21).over(key),
            before=amount.rolling_mean(21, min_samples=16).shift(7).over(key),
            ratio_ewma=weighted,
        )
    )
    weeks = full.group_by([*key, "week"], maintain_order=True).agg(
        value=amount.sum(),
        mean=amount.mean(),
        spread=amount.std(),
        acute=pl.col("acute").last(),
        chronic=pl.col("chronic").last(),
        before=pl.col("before").last(),
        ratio_ewma=pl.col("ratio_ewma").last(),
    )
    value, alike = pl.col("value"), pl.col("mean") / pl.col("spread")
    return weeks.with_columns(
        ratio_coupled=pl.col("acute") / pl.col("chronic"),
        ratio_uncoupled=pl.col("acute") / pl.col("before"),
        change=value / value.shift(1).over(key) - 1,
        monotony=alike,
        strain=value * alike,
    ).select(*key, "week", *COLUMNS)


def with_duckdb(connection: duckdb.DuckDBPyConnection, days: int) -> pl.DataFrame:
    """Window functions over the table `daily`, sums of weighted amounts for the weighted means."""
    return connection.sql(SQL.format(days=days, acute=ACUTE, chronic=CHRONIC)).pl()


SQL = """
WITH calendar AS (
    SELECT athlete, channel, day
    FROM (SELECT DISTINCT athlete, channel FROM daily), (SELECT unnest(range({days})) AS day)
), filled AS (
    SELECT calendar.*, calendar.day // 7 AS week, coalesce(daily.amount, 0.0) AS amount
    FROM calendar LEFT JOIN daily USING (athlete, channel, day)
), rolled AS (
    SELECT *,
        avg(amount) OVER seven AS acute, count(*) OVER seven AS seven_days,
        avg(amount) OVER month AS chronic, count(*) OVER month AS month_days,
        avg(amount) OVER earlier AS before, count(*) OVER earlier AS earlier_days,
        sum(amount / pow(1 - {acute}, day - 1)) OVER upto AS fast_sum,
        sum(amount / pow(1 - {chronic}, day - 1)) OVER upto AS slow_sum,
        first_value(amount) OVER upto AS first_amount
    FROM filled
    WINDOW seven AS (PARTITION BY athlete, channel ORDER BY day ROWS 6 PRECEDING),
        month AS (PARTITION BY athlete, channel ORDER BY day ROWS 27 PRECEDING),
        earlier AS (PARTITION BY athlete, channel ORDER BY day ROWS BETWEEN 27 PRECEDING AND 7 PRECEDING),
        upto AS (PARTITION BY athlete, channel ORDER BY day)
), weeks AS (
    SELECT athlete, channel, week, sum(amount) AS value, avg(amount) / stddev_samp(amount) AS monotony
    FROM filled GROUP BY ALL
)
SELECT athlete, channel, week, value,
    CASE WHEN seven_days >= 6 THEN acute END AS acute,
    CASE WHEN month_days >= 21 THEN chronic END AS chronic,
    CASE WHEN month_days >= 21 THEN acute / chronic END AS ratio_coupled,
    CASE WHEN earlier_days >= 16 THEN acute / before END AS ratio_uncoupled,
    ({acute} * pow(1 - {acute}, day - 1) * (fast_sum - first_amount * (1 - {acute}))
        + pow(1 - {acute}, day) * first_amount)
    / ({chronic} * pow(1 - {chronic}, day - 1) * (slow_sum - first_amount * (1 - {chronic}))
        + pow(1 - {chronic}, day) * first_amount) AS ratio_ewma,
    value / lag(value) OVER (PARTITION BY athlete, channel ORDER BY week) - 1 AS change,
    monotony, value * monotony AS strain
FROM rolled JOIN weeks USING (athlete, channel, week)
WHERE day % 7 = 6
ORDER BY athlete, channel, week
"""
