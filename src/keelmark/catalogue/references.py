"""What one entry says about other movements, checked when all of them are known."""

from __future__ import annotations

from collections.abc import Mapping

from keelmark.catalogue.entries import Entry
from keelmark.catalogue.model import Movement

__all__ = ["check_references"]


def check_references(movements: Mapping[str, Movement], entries: Mapping[str, Entry]) -> None:
    """Check opposing movements, swaps and parent lifts of all movements against one another.

    Raises
    ------
    CatalogueError
        At the first entry that names a movement that does not exist or does not fit.
    """
    for name, movement in movements.items():
        _check_opposes(movement, movements, entries[name])
        _check_swaps(movement, movements, entries[name])
        _check_rep_maximum(movement, movements, entries[name])


def _check_opposes(movement: Movement, movements: Mapping[str, Movement], entry: Entry) -> None:
    for other in movement.opposes:
        if other not in movements:
            raise entry.error(
                f"opposes names {other}, which is not in the catalogue",
                ["opposes"],
                wanted="the name of a movement of the catalogue",
                remedy="mend the spelling, or add the movement",
            )
        if other == movement.name:
            raise entry.error(
                "opposes names the movement itself",
                ["opposes"],
                wanted="movements of the opposing pattern",
                remedy="take the name out",
            )


def _check_swaps(movement: Movement, movements: Mapping[str, Movement], entry: Entry) -> None:
    for swap in movement.swaps:
        other = movements.get(swap.to)
        if other is None:
            raise entry.error(
                f"swaps names {swap.to}, which is not in the catalogue",
                ["swaps", swap.to],
                wanted="the name of a movement of the catalogue",
                remedy="mend the spelling, or add the movement",
            )
        if other is movement:
            raise entry.error(
                "swaps names the movement itself",
                ["swaps", swap.to],
                wanted="another movement that may stand in for it",
                remedy="take the swap out",
            )
        if movement.measures[0] not in other.measures:
            raise entry.error(
                f"swaps names {swap.to}, which is measured in {', '.join(other.measures)}",
                ["swaps", swap.to],
                wanted=f"a movement that is also measured in {movement.measures[0]}, the usual measure here",
                remedy="take the swap out, or add the measure to the other movement",
            )
        if swap.ratio.low <= 0:
            raise entry.error(
                f"the ratio of the swap to {swap.to} has the lower bound {swap.ratio.low:g}",
                ["swaps", swap.to],
                wanted="a ratio above zero",
                remedy="raise the lower bound above zero",
            )


def _check_rep_maximum(movement: Movement, movements: Mapping[str, Movement], entry: Entry) -> None:
    maximum = movement.rep_maximum
    if maximum is None:
        return
    parent = movements.get(maximum.of)
    if parent is None:
        raise entry.error(
            f"rep_maximum names {maximum.of}, which is not in the catalogue",
            ["rep_maximum"],
            wanted="the name of a lift of the catalogue",
            remedy="mend the spelling, or add the lift",
        )
    if parent.rep_maximum is None or parent.rep_maximum.of != parent.name:
        raise entry.error(
            f"rep_maximum names {parent.name}, whose own maximum is taken from another lift or not stated",
            ["rep_maximum"],
            wanted="a lift that is tested itself (its rep_maximum names itself), so that no lifts go round in a circle",
            remedy="name the tested lift at the end of the chain, with the share of its maximum",
        )
    if maximum.share.low <= 0:
        raise entry.error(
            f"the share of {parent.name} has the lower bound {maximum.share.low:g}",
            ["rep_maximum"],
            wanted="a share above zero",
            remedy="raise the lower bound above zero",
        )
