"""What columns mean, for programs; and an archive that holds tables, their meaning, and a README."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from datetime import UTC, datetime

import polars as pl

from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT
from keelmark.contracts.records import CHECK_IN, CONSENT
from keelmark.contracts.stamp import RULE_VERSION, stamp
from keelmark.report import GUARD_RULE, Sheet, data_package, table_schema

MOMENT = datetime(2026, 3, 9, 12, 0, tzinfo=UTC)


def field(schema: dict[str, object], name: str) -> dict[str, object]:
    fields = schema["fields"]
    assert isinstance(fields, list)
    return next(one for one in fields if one["name"] == name)


def test_fields_carry_type_unit_meaning_and_constraints() -> None:
    """Types and constraints: Frictionless Table Schema 1.0, sections Types and Constraints."""
    told = table_schema(EFFORT)
    assert field(told, "load_kg") == {
        "name": "load_kg", "type": "number", "description": "total external load per rep", "unit": "kg",
    }  # fmt: skip
    assert field(told, "version")["constraints"] == {"required": True, "enum": ["as_written", "scaled", "swapped"]}
    assert field(told, "rpe")["constraints"] == {"minimum": 0.0, "maximum": 10.0}
    assert field(told, "date")["type"] == "date"
    assert field(told, "sets")["type"] == "integer"
    assert field(table_schema(CONSENT), "fields")["type"] == "array"
    assert field(table_schema(CHECK_IN), "created_at")["type"] == "datetime"
    assert told["missingValues"] == [""]
    assert GUARD_RULE in str(told["description"])


def test_a_key_is_told() -> None:
    assert table_schema(ATHLETE, key=("athlete_id",))["primaryKey"] == ["athlete_id"]
    assert "primaryKey" not in table_schema(ATHLETE)


def package() -> bytes:
    people = ATHLETE.build([{"athlete_id": "bo", "name": "Bo"}])
    return data_package(
        "crew", "The crew",
        [Sheet("people", ATHLETE, people, ("athlete_id",)), Sheet("days", DAY_STATE, DAY_STATE.empty())],
        about="Made up.", made_at=MOMENT, files=[("note.txt", b"hello")],
    )  # fmt: skip


def test_the_package_names_every_table_with_its_bytes_and_hash() -> None:
    """Required properties: Frictionless Data Package 1.0 (name, resources) and Data Resource 1.0 (name, path)."""
    with zipfile.ZipFile(io.BytesIO(package())) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        told = json.loads(archive.read("datapackage.json"))
        for resource in told["resources"]:
            content = archive.read(resource["path"])
            assert resource["bytes"] == len(content)
            assert resource["hash"] == "sha256:" + hashlib.sha256(content).hexdigest()
            assert resource["schema"] == json.loads(archive.read(f"{resource['name']}.schema.json"))
        readme = archive.read("README.txt").decode()
    assert names == [
        "README.txt", "datapackage.json", "people.csv", "people.schema.json", "days.csv", "days.schema.json",
        "note.txt",
    ]  # fmt: skip
    assert "people.csv, 1 row: one row per person of the squad" in readme
    assert "days.csv, 0 rows" in readme
    assert GUARD_RULE in readme


def test_the_same_content_at_the_same_moment_gives_the_same_bytes() -> None:
    assert package() == package()


def test_an_empty_table_keeps_its_heads() -> None:
    sheet = Sheet("days", DAY_STATE, DAY_STATE.empty())
    assert pl.read_csv(sheet.csv).columns == DAY_STATE.names


def test_what_is_taken_away_names_the_program_and_its_rules() -> None:
    assert stamp().endswith(f", rules {RULE_VERSION}")
    told = table_schema(ATHLETE)
    assert told["createdBy"] == stamp()
