"""What a head says about time: windows, intervals, work against the clock, rest."""

from __future__ import annotations

from keelmark.notation.drafts import GroupDraft, SectionDraft
from keelmark.notation.items import Item
from keelmark.notation.labels import Labels
from keelmark.notation.merging import seconds_of
from keelmark.notation.segments import Segment

__all__ = ["ClockHeads"]


def _first_minute(items: list[Item], notes: list[list[Item]], window: float) -> str:
    """`every minute from 1:00 on` begins with the first full minute, `every minute` at once."""
    for note in notes:
        first = next((item for item in note if item.kind == "dur"), None)
        if first is not None and seconds_of(first) == window:
            return "each_minute_later"
    late = any("start_at" in item.roles for item in items)
    minutes = [item for item in items if item.kind == "dur" or (item.kind == "amount" and late)]
    return "each_minute_later" if late and any((seconds_of(item) or 0) >= 60 for item in minutes) else "each_minute"


def _counts_work(segment: Segment) -> bool:
    """Something to do stands in it."""
    return segment.content or any(item.kind in ("amount", "dist", "cals", "nsets", "dur") for item in segment.items)


_WAY_BACK = frozenset(["step down", "walk down", "walk back", "jog back"])
"""How one comes back from a jump or a run: no turn of a rotation."""


class ClockHeads(Labels):
    """Opens sections with a clock."""

    def _ends_line(self, segment: Segment) -> bool:
        """`75 power snatches, for time.`: it speaks of what stands before it on the line."""
        last = self.last_station()
        alone = not segment.content and not segment.strong and segment.after in ("stop", "newline")
        return alone and last is not None and last.line == segment.line

    def _defines(self, items: list[Item], place: int) -> bool:
        """`1 lap = 12 cal ski + 8 burpees`: what a round is, not how many."""
        return place + 1 < len(items) and items[place + 1].kind == "equals"

    def _clocked(self, kind: str, item: Item) -> SectionDraft:
        """Open a section with a clock; at the end of a text it speaks of the stations before."""
        now = self.now
        behind = "then" in self.segments[self.at].before
        if self.trailing() and now is not None and not now.headed and not behind:
            now.kind, now.headed = kind, True
            return now
        if now is not None and now.fresh and (not now.headed or now.kind == kind == "intervals"):
            now.kind, now.headed = kind, True
        elif now is not None and now.fresh and now.kind == "for_time":
            now.kind = kind
        elif now is not None and not now.headed and now.kind == "work" and self._head_behind_movement(now):
            now.kind, now.headed = kind, True
        else:
            now = SectionDraft(kind, headed=True, share=self.default_share)
            self.sections.append(now)
            self.now = now
        now.start, now.end = item.start, item.end
        return now

    def _head_behind_movement(self, now: SectionDraft) -> bool:
        """`Ring muscle-ups: 12 EMOM x 2`: the head follows the only movement, which has no amount yet."""
        stations = [station for group in now.groups for station in group.stations]
        same_line = self.segments[self.at].line == stations[-1].line if stations else False
        return len(stations) == 1 and stations[0].amount is None and same_line

    def _every(self, item: Item, segment: Segment, items: list[Item]) -> None:
        window, total, windows, form = item.value
        if total is None and windows is None and self._of_sets_on_line(segment):
            return
        self._apart(segment)
        said = self.now is not None and self.now.kind == "every" and self.now.window == window
        if said and segment.content and not segment.starts_line and total is None and windows is None:
            self._beside_rotation(segment)
            return
        total = total or (self.pending_seconds if windows is None else None)
        last = self.last_station() if self.now is not None else None
        if (
            self.trailing()
            and last is not None
            and last.amount is not None
            and last.amount.sets > 1
            and windows is None
        ):
            return
        if segment.content and total is None and windows is None and self.now is not None:
            plain = self.now.kind == "work" and not self.now.headed and not segment.starts_line
            if ((self.now.kind in ("for_time", "amrap") and self.now.headed) or plain) and not self.now.fresh:
                self.interrupt = _first_minute(items, segment.notes, window)
                self.now.window = window if window != 60 else self.now.window
                if plain:
                    self.now.kind = "for_time"
                return
        now = self.now
        if (
            total is None
            and windows is None
            and now is not None
            and now.kind in ("for_time", "amrap")
            and not now.fresh
            and self.at < self.last_content
        ):
            self.interrupt = _first_minute(items, segment.notes, window)
            now.window = window if window != 60 else now.window
            return
        rounds = None
        if now is not None and now.fresh and now.groups and now.groups[-1].rounds > 1:
            rounds = now.groups[-1].rounds
            now.groups[-1].rounds = 1
        clock = self.section().clock
        section = self._clocked("every", item)
        if "moving_on" in item.roles:
            total = total or clock
            section.share = "own" if section.share else section.share
        section.window, section.emom = window, form == "emom"
        section.seconds = total
        section.windows = windows or rounds
        if self.trailing() and section.groups and section.groups[-1].rounds > 1 and windows is None and total is None:
            section.windows, section.groups[-1].rounds = section.groups[-1].rounds, 1
        section.alternate = section.alternate or self.alternating_here
        for group in section.groups if section.seconds else ():
            timed = group.scheme is not None and group.scheme.measure == "duration_s" and not group.stations
            group.scheme = None if timed else group.scheme

    def _beside_rotation(self, segment: Segment) -> None:
        """`min 3 = 6, plus 5 pull-ups every minute`: beside the turns of the others, in each window."""
        added = not segment.before.isdisjoint(("plus", "and")) or segment.items[0].kind in ("add", "plus", "and")
        if added and self.current_group().slots:
            self.new_group()

    def _speaks_of_lines_before(self) -> bool:
        """`for time, then run 800 m`, `for time, with 6 burpees after every set` below a ladder: its clock."""
        segment, now = self.segments[self.at], self.section()
        following = self.following()
        if following is None or following.line != segment.line or segment.content or not segment.starts_line:
            return False
        told = "then" in following.before or (following.items and following.items[0].kind == "with")
        tied = any(item.kind in ("after", "between") for item in following.items)
        climbs = [s for g in now.groups for s in g.stations if s.amount is not None and len(s.amount.steps) > 1]
        plain = now.kind == "work" and not now.headed and segment.after in ("comma", "then")
        return bool(plain and climbs and (told or tied))

    def _for_time(self, item: Item, behind: bool) -> None:
        now = self.section()
        behind = behind or self._speaks_of_lines_before()
        if now.fresh or self.trailing() or (behind and not now.headed):
            if now.kind == "work":
                now.kind = "for_time"
            now.headed = True
        elif now.kind != "for_time" or now.headed:
            last = now.groups[-1] if now.groups else None
            pending = last is not None and not last.stations and not last.closed
            if pending and last is not None and now.kind == "work":
                now.groups.pop()
                section = SectionDraft("for_time", headed=True, share=self.default_share)
                section.groups.append(last)
                self.sections.append(section)
                self.now = section
            else:
                self.now = SectionDraft("for_time", headed=True, share=self.default_share)
                self.sections.append(self.now)

    def _of_sets_on_line(self, segment: Segment) -> bool:
        """`8x2 @ 70 %, every minute` with more lines behind: the sets of the line are its windows."""
        last = self.last_station() if self.now is not None else None
        if last is None or segment.starts_line or segment.content:
            return False
        here = self.segments[self.at + 1 : self.at + 4] if segment.after == "comma" else []
        works = any(later.line == segment.line and _counts_work(later) for later in here)
        if works or segment.after not in ("newline", "stop", "comma", "close"):
            return False
        return last.line == segment.line and last.amount is not None and last.amount.sets > 1

    def _apart(self, segment: Segment) -> None:
        """`sandbag over shoulder, 1 every 40 s x 15` behind lines with sets of their own: a section by itself."""
        last = self.last_station() if self.now is not None else None
        if last is None or self.now is None or segment.starts_line or segment.content or not self.trailing():
            return
        others = [s for group in self.now.groups for s in group.stations if s is not last]
        sets = any(other.amount is not None and other.amount.sets > 1 for other in others)
        if last.amount is not None or last.line != segment.line or not sets or self.now.headed:
            return
        if any(other.line == last.line for other in others):
            return
        self.current_group().stations.remove(last)
        section = SectionDraft(self.now.kind, share=self.now.share)
        section.groups.append(GroupDraft([last]))
        self.sections.append(section)
        self.now = section

    def _interval(self, item: Item) -> None:
        sets, work, rest = item.value
        now = self.section()
        rounds = None
        if now.fresh and now.groups and now.groups[-1].rounds > 1:
            rounds = now.groups[-1].rounds
            now.groups[-1].rounds = 1
        section = self._clocked("intervals", item)
        section.work, section.rest = work, rest
        if self.pending_seconds and not sets and not rounds and work + rest > 0:
            rounds = int(self.pending_seconds // (work + rest))
        section.windows = sets or rounds or section.windows
        section.around = section.around or (rounds is not None and not sets)

    def _rest(self, item: Item, segment: Segment, items: list[Item]) -> None:
        group = self.current_group()
        if item.value and group.stations:
            group.rest += item.value
        if self.section().kind == "amrap" and item.value:
            self.section().paused = True
        if self._parts_clock(item, segment):
            self.now = None
        elif (group.slots or group.parity) and not group.stations:
            group.resting = True
        elif self._is_turn(item, segment):
            section = self.section()
            section.groups += [GroupDraft(resting=True), GroupDraft()]

    def _parts_clock(self, item: Item, segment: Segment) -> bool:
        """`rest 4:00` on a line between the windows of one clock and `5 x 2 jerk`: the sets are behind the clock."""
        now = self.now
        if now is None or now.kind != "every" or now.fresh or now.alternate or not item.value:
            return False
        if any(group.slots or group.parity for group in now.groups) or len(segment.items) != 1:
            return False
        following = self.following()
        if not segment.starts_line or segment.after != "newline" or following is None or not following.content:
            return False
        single = all(s.amount is not None and s.amount.sets == 1 for group in now.groups for s in group.stations)
        return single and any(i.kind in ("amount", "dist", "dur", "cals") and i.value.sets > 1 for i in following.items)

    def _is_turn(self, item: Item, segment: Segment) -> bool:
        """`12 cal row, 10 burpees, rest` in a rotation: one of the minutes is the rest."""
        section = self.section()
        if section.kind != "every" or not section.alternate or section.fresh or segment.starts_line or segment.content:
            return False
        if item.word in _WAY_BACK:
            return False
        return len(segment.items) == 1 and item.value in (None, section.window)
