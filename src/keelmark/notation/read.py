"""Read whiteboard text for one athlete: the tree, the efforts, the issues and the canonical rendering."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.notation.accounting import Stretch, account
from keelmark.notation.assemble import Assembler
from keelmark.notation.blocks import read_blocks
from keelmark.notation.checks import doubts_of
from keelmark.notation.clocks import clocks_of
from keelmark.notation.context import Context
from keelmark.notation.desk import Finding
from keelmark.notation.exact import read_exact
from keelmark.notation.expand import Done
from keelmark.notation.finish import finish
from keelmark.notation.glosses import read_glosses
from keelmark.notation.issues import CODES, Issue, issue_of
from keelmark.notation.items import Item, read_items
from keelmark.notation.legends import read_legends
from keelmark.notation.levels import read_levels
from keelmark.notation.lexicon import Lexicon, lexicon_for
from keelmark.notation.long_lines import without_long_lines
from keelmark.notation.meaning import work_done
from keelmark.notation.numbers import read_figures
from keelmark.notation.own_figures import as_own_version, own_text
from keelmark.notation.phrases import read_phrases
from keelmark.notation.raw_marks import read_marks
from keelmark.notation.render import laid_out, render
from keelmark.notation.said_beside import read_said_beside
from keelmark.notation.score import read_scores
from keelmark.notation.segments import cut
from keelmark.notation.set_columns import read_set_columns
from keelmark.notation.tables import read_tables
from keelmark.notation.told_by_line import read_sets_at_loads, read_told_by_line
from keelmark.notation.tree import Prescription

_LOOKED_UP = 20
"""Issues of one text for which nearest names are looked up; a longer list is no help and takes time."""

TEXTS_KEPT = 512
"""Texts whose prescription is remembered: a week's sessions, with the versions that are tried of them."""
LONGEST_KEPT = 4_000
"""Characters from which a text is not remembered."""

__all__ = ["Reading", "WorkDone", "answer", "read"]


@dataclass(frozen=True, slots=True)
class WorkDone:
    """One row of work: amounts are per set, `sets` says how often; low and high are bounds of the amount."""

    movement: str
    measure: str
    amount: float
    sets: int
    low: float
    high: float
    load_kg: float | None
    load_basis: str
    height_cm: float | None
    start_height_cm: float | None
    version: str
    side: str
    rpe: float | None
    section: int
    start: int
    end: int


@dataclass(slots=True)
class Reading:
    """What was made of a text.

    Attributes
    ----------
    text : str
        As given.
    tree : Prescription
        What is prescribed.
    efforts : list of WorkDone
        What the athlete did, in order.
    issues : list of Issue
        Doubts, in order of their place.
    clocks : tuple of float or None
        Seconds on the clock of each section of the tree, where the text or the score says.
    """

    text: str
    tree: Prescription
    efforts: list[WorkDone]
    issues: list[Issue]
    language: str | None = None
    items: list[Item] = field(default_factory=list)

    muted: list[tuple[int, int]] = field(default_factory=list)
    catalogue: Catalogue | None = None
    clocks: tuple[float | None, ...] = ()

    def stretches(self) -> list[Stretch]:
        """The whole text in stretches: understood, comment or issue."""
        if not self.items and self.tree.sections:
            return [Stretch(0, len(self.text), "understood")]
        return account(self.text, self.items, self.muted, self.issues)

    def plain(self) -> dict[str, Any]:
        """The reading as plain values: efforts, issues and the exact form."""
        return {
            "efforts": [_plain(row) for row in self.efforts],
            "issues": [issue.plain() for issue in self.issues],
            "canonical": self.canonical,
        }

    @property
    def canonical(self) -> str:
        """What was understood, in the exact form: it reads back to the same tree."""
        return render(self.tree, self.catalogue)

    @property
    def board(self) -> str:
        """The exact form laid out for a reader: a long part of the session on a line for each of its blocks."""
        return laid_out(self.tree, self.catalogue)


def read(text: str, context: Context | Mapping[str, Any] | None = None, catalogue: Catalogue | None = None) -> Reading:
    """Read a whiteboard text for one athlete."""
    catalogue = catalogue or shipped_catalogue()
    who = context if isinstance(context, Context) else Context.of(context or {})
    lexicon = lexicon_for(catalogue)
    own = own_text(text, who, lexicon)
    asked, who = who, own.context
    exact = read_exact(text, catalogue)
    items: list[Item] = []
    muted: list[tuple[int, int]] = []
    language: str | None = None
    if exact is not None:
        tree, findings = exact, doubts_of(exact)
    else:
        looked = _kept_tree if len(text) <= LONGEST_KEPT else _tree
        tree, found, items, language, muted = looked(own.text, lexicon)
        findings = list(found)
        muted = [*muted, *own.others]
        if own.context.option != asked.option:
            tree = as_own_version(tree, catalogue)
    scores = read_scores(who.result, lexicon, who.athlete) if who.result else []
    if who.result and who.result.strip() and not scores:
        findings.append(Finding("unread_result", 0, len(text), {"result": who.result.strip()}))
    done, doubts = work_done(tree, scores, who, catalogue)
    findings.extend(Finding(code, start, end, data) for code, start, end, data in doubts.found)
    efforts = _rows(done)
    if not efforts and all(CODES[finding.code] == "note" for finding in findings):
        findings.append(Finding("no_work_found", 0, len(text), {}))
    issues = [
        issue_of(finding.code, finding.start, finding.end, finding.data, text, catalogue, number < _LOOKED_UP)
        for number, finding in enumerate(findings)
    ]
    issues.sort(key=lambda issue: (issue.start, issue.code))
    return Reading(text, tree, efforts, issues, language, items, muted, catalogue, clocks_of(tree, scores))


def _tree(
    text: str, lexicon: Lexicon
) -> tuple[Prescription, list[Finding], list[Item], str | None, list[tuple[int, int]]]:
    whole, (text, too_long) = text, without_long_lines(text)
    raw, language = read_items(text, lexicon)
    raw = read_set_columns(raw, lexicon)
    rows = read_tables(read_glosses(read_levels(raw), text, lexicon), text, lexicon)
    marked = read_marks(read_told_by_line(read_said_beside(read_blocks(read_legends(rows, lexicon)))))
    items = read_sets_at_loads(read_phrases(read_figures(marked)))
    assembler = Assembler(lexicon, cut(items), whole)
    assembler.language = language
    assembler.run()
    tree = finish(assembler, lexicon.catalogue)
    return tree, too_long + assembler.findings, items, language, assembler.comments


@lru_cache(maxsize=TEXTS_KEPT)
def _kept_tree(
    text: str, lexicon: Lexicon
) -> tuple[Prescription, list[Finding], list[Item], str | None, list[tuple[int, int]]]:
    """What a text prescribes is the same for everybody, so it is worked out once; nobody may change what is kept."""
    return _tree(text, lexicon)


def _rows(done: list[Done]) -> list[WorkDone]:
    """Equal sets of one station as one row."""
    first: dict[tuple[Any, ...], tuple[Done, float, float, float]] = {}
    sets: dict[tuple[Any, ...], int] = {}
    for item in done:
        entry = item.entry
        amount, low, high = entry.amount, entry.low, entry.high
        if item.part is not None:
            amount = item.part
            low, high = item.low or 0.0, item.high or 0.0
        if (amount <= 0 and high <= 0) or item.times < 1:
            continue
        key = (
            id(entry.station),
            item.section,
            entry.movement,
            entry.measure,
            amount,
            low,
            high,
            entry.load_kg,
            entry.height_cm,
        )
        if key in sets:
            sets[key] += item.times
        else:
            sets[key] = item.times
            first[key] = (item, amount, low, high)
    return [_row(*told, sets[key]) for key, told in first.items()]


def _row(item: Done, amount: float, low: float, high: float, sets: int) -> WorkDone:
    entry, station = item.entry, item.entry.station
    return WorkDone(
        entry.movement,
        entry.measure,
        amount,
        sets,
        low,
        high,
        entry.load_kg,
        entry.basis,
        entry.height_cm,
        entry.start_cm,
        entry.version,
        station.side,
        station.rpe,
        item.section,
        station.start,
        station.end,
    )


def answer(item: Mapping[str, Any]) -> dict[str, Any]:
    """One line of a file of texts, read: efforts, issues and the canonical rendering, as plain values."""
    reading = read(item["text"], item.get("context"))
    return {"id": item.get("id"), **reading.plain()}


def _plain(row: WorkDone) -> dict[str, Any]:
    total = row.amount * row.sets
    plain: dict[str, Any] = {
        "movement": row.movement,
        "reps": None,
        "distance_m": None,
        "calories": None,
        "duration_s": None,
        "load_kg": row.load_kg,
        "height_cm": row.height_cm,
    }
    plain[row.measure] = round(total, 6)
    if row.low != row.high:
        plain["reps_range"] = [row.low * row.sets, row.high * row.sets]
    return plain
