"""Work that is done once more because a line says so: `rest 3 min, then repeat`."""

from __future__ import annotations

from keelmark.catalogue import fold
from keelmark.notation.segments import Segment
from keelmark.notation.trade import trade
from keelmark.notation.without_movement import WithoutMovement

__all__ = ["OnceMore"]


class OnceMore(WithoutMovement):
    """Does all that stands in a part once more."""

    def _once_more(self, segment: Segment) -> bool:
        """`repeat` behind the work of a part; behind rounds it is only told, for they may be what it speaks of."""
        section, items = self.now, segment.items
        if segment.content or segment.after == "colon" or not items or section is None or section.fresh:
            return False
        said = fold(self.text[items[0].start : items[-1].end])
        known = trade()["once_more"]
        if said not in known["words"] and not ("then" in segment.before and said in known["behind_then"]):
            return False
        if section.kind == "amrap" and section.repeats == 1:
            section.repeats = 2
        elif section.kind in ("work", "for_time") and all(group.rounds == 1 for group in section.groups):
            for group in section.groups:
                group.rounds = 2
        else:
            self._passed_over(items)
        return True
