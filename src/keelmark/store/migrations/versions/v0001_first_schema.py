"""The first schema: imports and the rows they bring, decisions, settings, and health data apart."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "decision",
        sa.Column("decision_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("notice_id", sa.Text(), nullable=False),
        sa.Column("useful", sa.Boolean(), nullable=True),
        sa.Column("option", sa.Text(), nullable=True),
        sa.Column("reason", sa.Text(), nullable=True),
        sa.Column("owner", sa.Text(), nullable=True),
        sa.Column("athlete_view", sa.Text(), nullable=True),
        sa.Column("review_date", sa.Date(), nullable=True),
        sa.Column("figures", sa.Text(), nullable=False),
        sa.Column("rule_version", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("decision_id", name=op.f("pk_decision")),
    )
    op.create_table(
        "original",
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_original")),
    )
    op.create_table(
        "person",
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("athlete_id", name=op.f("pk_person")),
    )
    op.create_table(
        "setting",
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_setting")),
    )
    op.create_table(
        "store_mark",
        sa.Column("program", sa.Text(), nullable=False),
        sa.Column("revision", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("program", name=op.f("pk_store_mark")),
    )
    op.execute("INSERT INTO store_mark (program, revision) VALUES ('keelmark', 0)")
    op.create_table(
        "import",
        sa.Column("import_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=True),
        sa.Column("content_key", sa.Text(), nullable=True),
        sa.Column("counts", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("undone_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["sha256"], ["original.sha256"], name=op.f("fk_import_sha256")),
        sa.PrimaryKeyConstraint("import_id", name=op.f("pk_import")),
    )
    op.create_index(
        "ux_import_standing_content",
        "import",
        ["content_key"],
        unique=True,
        sqlite_where=sa.text("undone_at IS NULL"),
        postgresql_where=sa.text("undone_at IS NULL"),
    )
    op.create_table(
        "athlete",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("complete", sa.Boolean(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("group", sa.Text(), nullable=True),
        sa.Column("sex", sa.Text(), nullable=True),
        sa.Column("body_mass_kg", sa.Double(), nullable=True),
        sa.Column("stature_cm", sa.Double(), nullable=True),
        sa.Column("standard", sa.Text(), nullable=True),
        sa.Column("joined", sa.Date(), nullable=True),
        sa.Column("left", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.athlete_id"], name=op.f("fk_athlete_athlete_id")),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_athlete_import_id")),
        sa.PrimaryKeyConstraint("import_id", "athlete_id", name=op.f("pk_athlete")),
    )
    op.create_table(
        "calendar_label",
        sa.Column("label_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("date_from", sa.Date(), nullable=False),
        sa.Column("date_to", sa.Date(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("group", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_calendar_label_import_id")),
        sa.PrimaryKeyConstraint("label_id", name=op.f("pk_calendar_label")),
    )
    op.create_table(
        "day_state",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.athlete_id"], name=op.f("fk_day_state_athlete_id")),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_day_state_import_id")),
        sa.PrimaryKeyConstraint("import_id", "athlete_id", "date", name=op.f("pk_day_state")),
    )
    op.create_table(
        "effort",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.BigInteger(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("block", sa.Text(), nullable=True),
        sa.Column("order", sa.BigInteger(), nullable=False),
        sa.Column("movement", sa.Text(), nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("sets", sa.BigInteger(), nullable=False),
        sa.Column("reps", sa.Double(), nullable=True),
        sa.Column("load_kg", sa.Double(), nullable=True),
        sa.Column("load_basis", sa.Text(), nullable=False),
        sa.Column("height_cm", sa.Double(), nullable=True),
        sa.Column("start_height_cm", sa.Double(), nullable=True),
        sa.Column("distance_m", sa.Double(), nullable=True),
        sa.Column("duration_s", sa.Double(), nullable=True),
        sa.Column("calories", sa.Double(), nullable=True),
        sa.Column("share_low", sa.Double(), nullable=False),
        sa.Column("share_high", sa.Double(), nullable=False),
        sa.Column("side", sa.Text(), nullable=True),
        sa.Column("rpe", sa.Double(), nullable=True),
        sa.Column("effort_s", sa.Double(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("source_row", sa.BigInteger(), nullable=True),
        sa.Column("source_line", sa.BigInteger(), nullable=True),
        sa.Column("text_start", sa.BigInteger(), nullable=True),
        sa.Column("text_end", sa.BigInteger(), nullable=True),
        sa.Column("text", sa.Text(), nullable=True),
        sa.Column("fingerprint", sa.LargeBinary(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("current", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.athlete_id"], name=op.f("fk_effort_athlete_id")),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_effort_import_id")),
        sa.PrimaryKeyConstraint("import_id", "place", name=op.f("pk_effort")),
    )
    op.create_index("ix_effort_athlete_date", "effort", ["athlete_id", "date"], unique=False)
    op.create_index(
        "ix_effort_repeats",
        "effort",
        ["import_id"],
        unique=False,
        sqlite_where=sa.text("NOT current"),
        postgresql_where=sa.text("NOT current"),
    )
    op.create_index("ix_effort_work", "effort", ["fingerprint", "copy", "import_id"], unique=False)
    op.create_table(
        "import_row",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("row", sa.BigInteger(), nullable=False),
        sa.Column("line", sa.BigInteger(), nullable=True),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("of_row", sa.BigInteger(), nullable=True),
        sa.Column("duplicate_kind", sa.Text(), nullable=True),
        sa.Column("reasons", sa.JSON(), nullable=True),
        sa.Column("columns", sa.JSON(), nullable=True),
        sa.Column("messages", sa.JSON(), nullable=True),
        sa.Column("remedy", sa.Text(), nullable=True),
        sa.Column("repairable", sa.Boolean(), nullable=True),
        sa.Column("notes", sa.JSON(), nullable=True),
        sa.Column("cells", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_import_row_import_id")),
        sa.PrimaryKeyConstraint("import_id", "row", name=op.f("pk_import_row")),
    )
    op.create_table(
        "rep_maximum",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("movement", sa.Text(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("load_kg", sa.Double(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.athlete_id"], name=op.f("fk_rep_maximum_athlete_id")),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_rep_maximum_import_id")),
        sa.PrimaryKeyConstraint("import_id", "athlete_id", "movement", "date", name=op.f("pk_rep_maximum")),
    )
    op.create_table(
        "session",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("label", sa.Text(), nullable=True),
        sa.Column("session_rpe", sa.Double(), nullable=True),
        sa.Column("duration_min", sa.Double(), nullable=True),
        sa.Column("whiteboard", sa.Text(), nullable=True),
        sa.Column("result", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["athlete_id"], ["person.athlete_id"], name=op.f("fk_session_athlete_id")),
        sa.ForeignKeyConstraint(["import_id"], ["import.import_id"], name=op.f("fk_session_import_id")),
        sa.PrimaryKeyConstraint("import_id", "session_id", name=op.f("pk_session")),
    )
    op.create_table(
        "health_check_in",
        sa.Column("check_in_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("week", sa.Text(), nullable=False),
        sa.Column("scale_id", sa.Text(), nullable=False),
        sa.Column("area", sa.Text(), nullable=True),
        sa.Column("severity", sa.Double(), nullable=True),
        sa.Column("answers", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("check_in_id", name=op.f("pk_health_check_in")),
    )
    op.create_index("ix_health_check_in_athlete_week", "health_check_in", ["athlete_id", "week"], unique=False)
    op.create_table(
        "health_limit",
        sa.Column("limit_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("athlete_id", sa.Text(), nullable=False),
        sa.Column("date_from", sa.Date(), nullable=False),
        sa.Column("date_to", sa.Date(), nullable=True),
        sa.Column("area", sa.Text(), nullable=True),
        sa.Column("limit", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("limit_id", name=op.f("pk_health_limit")),
    )
    op.create_index("ix_health_limit_athlete_id", "health_limit", ["athlete_id"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_health_limit_athlete_id", table_name="health_limit")
    op.drop_table("health_limit")
    op.drop_index("ix_health_check_in_athlete_week", table_name="health_check_in")
    op.drop_table("health_check_in")
    op.drop_table("session")
    op.drop_table("rep_maximum")
    op.drop_table("import_row")
    op.drop_index("ix_effort_work", table_name="effort")
    op.drop_index(
        "ix_effort_repeats",
        table_name="effort",
        sqlite_where=sa.text("NOT current"),
        postgresql_where=sa.text("NOT current"),
    )
    op.drop_index("ix_effort_athlete_date", table_name="effort")
    op.drop_table("effort")
    op.drop_table("day_state")
    op.drop_table("calendar_label")
    op.drop_table("athlete")
    op.drop_index(
        "ux_import_standing_content",
        table_name="import",
        sqlite_where=sa.text("undone_at IS NULL"),
        postgresql_where=sa.text("undone_at IS NULL"),
    )
    op.drop_table("import")
    op.drop_table("store_mark")
    op.drop_table("setting")
    op.drop_table("person")
    op.drop_table("original")
    op.drop_table("decision")
