"""Everything that is kept of one athlete, table by table, for the athlete to take away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

import polars as pl

from keelmark.contracts.frames import (
    ATHLETE,
    DAILY_DOSE,
    DAY_STATE,
    EFFORT,
    MARK,
    NOTICE,
    REP_MAXIMUM,
    SESSION,
    WEEKLY_FIGURE,
)
from keelmark.contracts.records import (
    AGREED_LIMIT,
    CHECK_IN,
    COMPLAINT_DECISION,
    CONSENT,
    DECISION,
    HEALTH_LIMIT,
    IMPORT_ROW,
    PLANNED_AMOUNT,
    RETURN_PLAN,
)
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.report import Sheet, data_package
from keelmark.service.account_rules import name_key
from keelmark.service.season import Season
from keelmark.store import Store
from keelmark.store.access import Account, SignInTry
from keelmark.store.erasing import Subject
from keelmark.store.redaction import Person

__all__ = ["ABOUT", "athlete_archive", "athlete_sheets"]

ABOUT = (
    "Everything that keelmark keeps of one person, and every figure it works out from it. Nobody else's rows are in "
    "it. Files that were brought for the whole squad are not in it as files, but all rows of this person are."
)
_INSTANT = pl.Datetime("us", "UTC")
_READ_ROW = FrameSchema(
    "Row read",
    "each row of an imported file that names this person, and what became of it",
    (
        Column("import_id", pl.String, "", "the import that brought it"),
        Column("file", pl.String, "", "name of the file, or what the edit was"),
        *IMPORT_ROW.columns,
    ),
)
_LOOK = FrameSchema(
    "Look",
    "who has looked at what this person said of their body",
    (
        Column("day", pl.Date, "", "when"),
        Column("name", pl.String, "", "who"),
        Column("role", pl.String, "", "as what"),
        Column("what", pl.String, "", "at what"),
    ),
)
_ACCOUNT = FrameSchema(
    "Account",
    "accounts by which this person signs in; passwords are kept as hashes only and are not in it",
    (
        Column("name", pl.String, "", "name to sign in with"),
        Column("role", pl.String, "", "role"),
        Column("created_at", _INSTANT, "UTC", "when it was opened"),
        Column("closed_at", _INSTANT, "UTC", "when it was closed; empty while it is open", optional=True),
    ),
)
_LINK = FrameSchema(
    "Link for a guest",
    "links that show chosen things of this person to a guest",
    (
        Column("name", pl.String, "", "for whom"),
        Column("fields", pl.String, "", "what it shows"),
        Column("created_at", _INSTANT, "UTC", "when it was made"),
        Column("expires_at", _INSTANT, "UTC", "when it ends"),
        Column("withdrawn_at", _INSTANT, "UTC", "when it was taken back", optional=True),
    ),
)
_GUARDIAN = FrameSchema(
    "Guardian",
    "who agreed for this person while under age; the last row stands",
    (
        Column("name", pl.String, "", "who"),
        Column("until", pl.Date, "", "last day"),
    ),
)
_TRY = FrameSchema(
    "Sign-in",
    "tries at signing in by the names of this person's accounts; they are forgotten after 30 days",
    (
        Column("created_at", _INSTANT, "UTC", "when"),
        Column("address", pl.String, "", "network address it came from"),
        Column("worked", pl.Boolean, "", "whether name and password were right"),
    ),
)
_SESSION = FrameSchema(
    "Open session",
    "where this person is signed in; what a browser holds for it is kept as a hash only and is not in it",
    (
        Column("created_at", _INSTANT, "UTC", "when it was opened"),
        Column("seen_at", _INSTANT, "UTC", "when it was used last"),
        Column("ends_at", _INSTANT, "UTC", "when it ends"),
    ),
)
_STEP = FrameSchema(
    "Second step",
    "code apps of this person's accounts; what an app was given is a secret and not in it",
    (
        Column("created_at", _INSTANT, "UTC", "when the app was shown its secret"),
        Column("confirmed_at", _INSTANT, "UTC", "when a code of it was seen first; empty until then", optional=True),
        Column("recovery_codes", pl.Int64, "", "recovery codes that are left; they are kept as hashes only"),
    ),
)
_LAID_ASIDE = FrameSchema(
    "Row taken back",
    "rows of edits by hand that were taken back; they count for nothing, and can be put back",
    (
        Column("import_id", pl.String, "", "the edit"),
        Column("of_table", pl.String, "", "the table it stood in"),
        Column("said", pl.String, "", "the row, as JSON"),
    ),
)


def athlete_archive(store: Store, season: Season, athlete_id: str, *, made_at: datetime) -> bytes:
    """A ZIP file with every table of an athlete, its Table Schema, and a README; see `keelmark.report.data_package`."""
    sheets = athlete_sheets(store, season, athlete_id)
    name = next(iter(sheets[0].frame["name"]), athlete_id)
    day = made_at.astimezone(UTC).date()
    return data_package(
        f"keelmark-{day}-athlete", f"{name}: everything kept in keelmark", sheets, about=ABOUT, made_at=made_at
    )


def athlete_sheets(store: Store, season: Season, athlete_id: str) -> list[Sheet]:
    """Each table that holds rows of an athlete, with those rows.

    Parameters
    ----------
    store : Store
        Only read.
    season : Season
        The figures as of the last write.
    athlete_id : str
        Whose.
    """
    own = season.of(athlete_id)
    kept = own.kept
    of_notice = pl.col("notice_id").str.starts_with(f"{athlete_id}:")
    return [
        Sheet("person", ATHLETE, kept.athletes, ("athlete_id",)),
        Sheet("rep_maxima", REP_MAXIMUM, kept.rep_maxima),
        Sheet("sessions", SESSION, kept.sessions, ("session_id",)),
        Sheet("efforts", EFFORT, kept.efforts),
        Sheet("days", DAY_STATE, kept.day_states, ("athlete_id", "date")),
        Sheet("rows_read", _READ_ROW, _rows_read(store, season.kept.imports, athlete_id), ("import_id", "row")),
        Sheet("figures_by_day", DAILY_DOSE, own.daily, ("athlete_id", "date", "channel")),
        Sheet("figures_by_week", WEEKLY_FIGURE, own.weekly, ("athlete_id", "week", "channel")),
        Sheet("marks", MARK, own.marks, ("athlete_id", "week", "channel")),
        Sheet("notices", NOTICE, own.notices, ("notice_id",)),
        Sheet("decisions", DECISION, store.decisions().filter(of_notice), ("decision_id",)),
        Sheet("check_ins", CHECK_IN, store.check_ins(athlete_id, standing=False), ("check_in_id",)),
        Sheet("complaint_decisions", COMPLAINT_DECISION, store.complaint_decisions(athlete_id), ("decision_id",)),
        Sheet("health_limits", HEALTH_LIMIT, store.health_limits(athlete_id), ("limit_id",)),
        Sheet("agreed_limits", AGREED_LIMIT, store.agreed_limits(athlete_id, standing=False), ("limit_id",)),
        Sheet("kept_weeks", PLANNED_AMOUNT, store.planned_amounts(athlete=athlete_id), ("week_id", "channel")),
        Sheet("return_plans", RETURN_PLAN, store.return_plans(athlete_id), ("plan_id",)),
        Sheet("consents", CONSENT, store.consents(athlete_id), ("consent_id",)),
        *_access_sheets(store, athlete_id),
    ]


def _access_sheets(store: Store, athlete_id: str) -> Iterator[Sheet]:
    yield Sheet("looks", _LOOK, _built(_LOOK, store.looks(athlete_id)))
    accounts = [one for one in store.accounts(closed=True) if one.athlete_id == athlete_id]
    yield Sheet("accounts", _ACCOUNT, _built(_ACCOUNT, accounts))
    yield Sheet("sign_ins", _TRY, _built(_TRY, list(_tries(store, accounts))))
    opened = [one for account in accounts for one in store.sessions_of(account.account_id)]
    yield Sheet("open_sessions", _SESSION, _built(_SESSION, opened))
    yield Sheet("second_steps", _STEP, _STEP.build(list(_steps(store, accounts))))
    yield Sheet("guest_links", _LINK, _built(_LINK, store.guest_links(athlete_id)))
    yield Sheet("guardians", _GUARDIAN, _built(_GUARDIAN, store.guardians_of(athlete_id)))
    names = _LAID_ASIDE.names
    aside: list[dict[str, object]] = [dict(zip(names, row, strict=True)) for row in store.laid_aside(athlete_id)]
    yield Sheet("rows_taken_back", _LAID_ASIDE, _LAID_ASIDE.build(aside))


def _built(schema: FrameSchema, records: Sequence[object]) -> pl.DataFrame:
    """A frame of what records say by the names of its columns."""
    return schema.build([{name: getattr(one, name) for name in schema.names} for one in records])


def _tries(store: Store, accounts: Sequence[Account]) -> Iterator[SignInTry]:
    """Tries while the account was open: before and after, the name may have been somebody else's."""
    for account in accounts:
        for one in store.sign_in_tries(name_key(account.name)):
            if account.created_at <= one.created_at and (
                account.closed_at is None or one.created_at <= account.closed_at
            ):
                yield one


def _steps(store: Store, accounts: Sequence[Account]) -> Iterator[dict[str, object]]:
    for account in accounts:
        held = store.second_step(account.account_id)
        if held is not None:
            left = store.recovery_codes_left(account.account_id)
            yield {"created_at": held.created_at, "confirmed_at": held.confirmed_at, "recovery_codes": left}


def _rows_read(store: Store, imports: pl.DataFrame, athlete_id: str) -> pl.DataFrame:
    """Verdicts on the rows whose cells name the athlete, of all imports."""
    person = _person(store, athlete_id)
    found = [_READ_ROW.empty()]
    for import_id, file in imports.select("import_id", "file").iter_rows():
        rows = store.import_rows(import_id)
        theirs = [cells is not None and person.owns(cells.split(" | ")) for cells in rows["cells"]]
        own = rows.filter(pl.Series(theirs, dtype=pl.Boolean))
        found.append(own.select(pl.lit(import_id).alias("import_id"), pl.lit(file).alias("file"), pl.all()))
    return pl.concat(found)


def _person(store: Store, athlete_id: str) -> Person:
    with store._reading() as connection:
        return Subject.of(connection, athlete_id).person
