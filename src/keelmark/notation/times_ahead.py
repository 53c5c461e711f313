"""A time in front of work, or behind it, that says when or for how long: `12 min:`, `0-10 min:`, `90 s x 8:`."""

from __future__ import annotations

from keelmark.notation.clock_heads import ClockHeads
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.segments import Segment

__all__ = ["TimesAhead"]

_OF_A_PART = 240.0
"""Seconds from which on a time in front of work is that of a part of the session, no stretch of a round."""


class TimesAhead(ClockHeads):
    """Finds out what a time without a clock's name is the length of."""

    def _clock_follows(self, segment: Segment) -> bool:
        """`Then twelve minutes, every minute: ...`: the time of what comes now."""
        following = self.following()
        if following is None or following.line != segment.line:
            return False
        return any(item.kind in ("every_head", "amrap_head") for item in following.items)

    def _clock_of_next_part(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`12 min:` behind an empty line, or behind `then`, in front of work: the length of another part."""
        following = self.following()
        if not kinds <= {"dur", "of"} or segment.after != "colon" or not segment.starts_line or following is None:
            return False
        apart = "then" in segment.before or self.segments[self.at - 1].line < segment.line - 1
        step = items[0].value.steps[0]
        long = step.lighter is None and step.top is None and (seconds_of(items[0]) or 0.0) >= _OF_A_PART
        return apart and long and following.content and following.line == segment.line

    def _stretch_of_clock(self, segment: Segment, items: list[Item]) -> bool:
        """`0-10 min: EMOM ...`: when it is done."""
        if len(items) != 1 or items[0].kind != "dur" or not segment.starts_line or segment.after != "colon":
            return False
        step = items[0].value.steps[0]
        if (
            step.top is None
            or step.top <= step.value
            or items[0].value.unit != "min"
            or not (step.value == 0 or self.timeline)
        ):
            return False
        self.now = None
        self.section()
        self.pending_seconds, self.timeline = (step.top - step.value) * 60, True
        return True

    def _clock_for_max(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`Max reps in 8 min: ...` ahead of the work, `... 7 min.` behind a ladder that goes on: how long it lasts."""
        section = self.section()
        time = next(item for item in items if item.kind == "dur")
        if section.fresh and "max" in kinds and kinds <= {"max", "dur", "during", "word", "of", "at", "wearing"}:
            if segment.after != "colon" or section.headed or time.value.sets > 1:
                return False
            self._clocked("amrap", time).seconds = seconds_of(time)
            return True
        if kinds != {"dur"} or section.kind != "work" or not (segment.strong and self.trailing()):
            return False
        amounts = [a for g in section.groups for a in (g.scheme, *(station.amount for station in g.stations))]
        if not any(amount is not None and amount.continues for amount in amounts):
            return False
        section.kind, section.seconds = "amrap", seconds_of(time)
        return True

    def _with_rest_behind(self, segment: Segment, item: Item) -> bool:
        """`3 x 3:00, rest 1:00: ...`: so many stretches of work with a rest between, ahead of what is done in them."""
        following = self.following()
        if following is None or following.line != segment.line or following.content or not self.section().fresh:
            return False
        rest = next((other for other in following.items if other.kind == "rest_mark" and other.value), None)
        if rest is None or item.value.sets < 2 or following.after not in ("colon", "newline") or self.section().headed:
            return False
        self._interval(Item("interval_head", item.start, item.end, (item.value.sets, seconds_of(item), rest.value)))
        return True

    def _windows_times(self, segment: Segment, items: list[Item]) -> bool:
        """`90 s x 8: 3 cleans`: eight windows of that length, where what follows has counts of its own."""
        if len(items) != 1:
            return False
        if (
            items[0].kind == "dur"
            and segment.after in ("comma", "sslash")
            and self._with_rest_behind(segment, items[0])
        ):
            return True
        item = items[0]
        if item.kind != "dur" or item.value.sets < 2 or segment.after != "colon" or item.parts[:1] != ["sets"]:
            return False
        if not self.section().fresh or self.section().headed:
            return False
        behind = [later for later in self.segments[self.at + 1 : self.at + 6] if later.content]
        counted = any(other.kind in ("amount", "dist", "cals") for other in behind[0].items) if behind else False
        seconds = seconds_of(item)
        if not counted or seconds is None:
            return False
        self._every(Item("every_head", item.start, item.end, (seconds, None, item.value.sets, "every")), segment, items)
        return True
