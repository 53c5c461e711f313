"""Print the tables of the data contracts into DEVELOPERS.md, from their definitions."""

from __future__ import annotations

from pathlib import Path

from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import FRAMES
from keelmark.contracts.records import RECORDS

DOCUMENT = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
BEGIN, END = "<!-- tables: begin -->", "<!-- tables: end -->"


def tables() -> str:
    """All tables and the channels, as Markdown."""
    channels = "".join(f"| `{c.key}` | {c.label} | {c.unit} | {c.group} | {c.meaning} |\n" for c in CHANNELS)
    head = "**Channels**: the kinds of work that are kept apart\n\n"
    head += "| key | label | unit | group | meaning |\n|---|---|---|---|---|\n"
    return "\n".join([head + channels, *(schema.markdown() for schema in (*FRAMES, *RECORDS))])


def with_tables(text: str) -> str:
    """The document with its tables as they are defined now."""
    before, rest = text.split(BEGIN, 1)
    _, after = rest.split(END, 1)
    return f"{before}{BEGIN}\n\n{tables()}\n{END}{after}"


if __name__ == "__main__":
    DOCUMENT.write_text(with_tables(DOCUMENT.read_text(encoding="utf-8")), encoding="utf-8")
