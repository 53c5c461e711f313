"""The postures that a squad's own files state, beside or in place of the shipped ones."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from keelmark.catalogue.entries import EntryFile
from keelmark.catalogue.posture import PostureTable, read_postures, shipped_postures
from keelmark.contracts.errors import CatalogueError

__all__ = ["own_postures"]


def own_postures(files: Sequence[EntryFile], movements: Collection[str]) -> PostureTable | None:
    """The postures of a squad's files, checked against the movements; None when no file states any.

    Parameters
    ----------
    files : sequence of EntryFile
        The squad's own files; of two entries for one movement the later file's counts.
    movements : collection of str
        Canonical names of all movements, the squad's own among them.

    Raises
    ------
    CatalogueError
        When an entry is not complete, names a movement that nobody knows, or a family has a name that is taken.
    """
    table = PostureTable((), ())
    for file in files:
        found = read_postures([(file.label, file.text)], shipped_postures())
        for name in sorted(found.movements - set(movements)):
            raise CatalogueError(
                f"a posture is stated for {name}, which is no movement",
                where=file.label,
                wanted="canonical names of the shipped catalogue or of the squad's own entries, such as deadlift",
                remedy="mend the spelling, or add the movement to the same file",
            )
        table = table.with_own(found)
    if not table.movements:
        return None
    shipped_postures().with_own(table)
    return table
