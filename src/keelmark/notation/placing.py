"""Where a station goes: into the group that is open or a new one, with what was told ahead of it."""

from __future__ import annotations

from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.remarks import Remarks
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import apply_figures

__all__ = ["Placing"]


class Placing(Remarks):
    """Puts stations into groups."""

    def _place(self, station: StationDraft, segment: Segment) -> None:
        """Put a station into its group, with what was told ahead of it."""
        group = self._group_for(station, segment)
        if self.last_only_line == segment.line:
            group = self._group_at_end()
        if self.pending_when is not None and self.pending_when.kind == "before_round":
            station.opens_round = True
        opened = self._round_opened_by(station, group)
        station.joined = "plus" if "plus" in segment.before else ("and" if "and" in segment.before else "")
        station.segment, station.level = self.at, segment.level
        station.unvested = self.unvested
        own = self.own_next or self.own_rest or self._of_each_person(station, segment)
        station.own_listed = self.own_next and self.section().fresh
        station.own, self.own_next = own or self._own_as_before(station, group), False
        self._give_what_waits(station, segment)
        if _is_of_each_rung(group, station, segment):
            station.when = "after_set"
        if group.per_side and station.side == "":
            station.side = "each"
        if opened is not None:
            opened.stations.insert(sum(other.opens_round for other in opened.stations), station)
        else:
            group.stations.append(station)
        if self.stated is not None:
            self.totals.append((station, group, self.stated))
            self.stated = None
        if self.interrupt:
            late = any(item.kind == "start_at" for item in segment.items) and any(
                item.kind == "dur" and item.value.steps[0].value >= 1 for item in segment.items
            )
            station.when = "each_minute_later" if late else self.interrupt
            station.ahead = True
            self.interrupt = ""

    def _round_opened_by(self, station: StationDraft, group: GroupDraft) -> GroupDraft | None:
        """`Before each round: 200 m run`: the group whose rounds it opens, told behind them."""
        if not station.opens_round:
            return None
        section = self.section()
        groups = [other for other in section.groups if other.stations]
        rounds = [other for other in groups if other.rounds > 1 or other.scheme is not None or section.kind == "amrap"]
        return rounds[-1] if rounds else None

    def _own_as_before(self, station: StationDraft, group: GroupDraft) -> bool:
        """`then each on their own 30 pull-ups and 40 push-ups`: both, where the words stand in front of the first."""
        before = group.stations[-1] if group.stations else None
        if before is None or not before.own or before.line != station.line:
            return False
        told, here = self.segments[before.segment], self.segments[self.at]
        listed = here.before == frozenset(["comma"]) and before.own_listed
        if not (station.joined or listed) or any(item.kind in ("share", "in_turn", "total") for item in here.items):
            return False
        station.own_listed = before.own_listed
        return before.own_listed or (bool(told.items) and "each_person" in told.items[0].roles)

    def _group_at_end(self) -> GroupDraft:
        """A group that is done in the last window only, or once behind all rounds."""
        section = self.section()
        group = self.new_group()
        if section.kind == "every" and not any(other.slots or other.parity for other in section.groups):
            windows = section.windows
            if windows is None and section.seconds and section.window:
                windows = int(section.seconds / section.window)
            group.slots = (windows,) if windows else ()
        return group

    def _group_for(self, station: StationDraft, segment: Segment) -> GroupDraft:
        """The group that is open, or a new one where the rounds or the ladder before have come to their end."""
        group = self.current_group()
        if "semicolon" in segment.before and group.commas and group.rounds > 1 and segment.line == group.inline:
            group.closed = True
        group.commas = group.commas or ("comma" in segment.before and bool(group.stations))
        next_line = group.inline >= 0 and group.inline != segment.line and self._first_of_line(segment)
        level = segment.level and any(other.level not in ("", segment.level) for other in group.stations)
        over = group.closed or (next_line and not level and self._inline_over(group, station))
        if over or self._ladder_over(group, station, segment):
            group = self.new_group(self.outer[1] if self.outer[0] is self.now else 1)
        if segment.group == "open":
            group.inline = -2
        return group

    def _first_of_line(self, segment: Segment) -> bool:
        """Nothing but a label stands before it on its line."""
        if segment.starts_line:
            return True
        before = self.segments[self.at - 1] if self.at else segment
        return before.starts_line and before.line == segment.line and before.after == "colon" and not before.content

    def _give_what_waits(self, station: StationDraft, segment: Segment) -> None:
        """An amount or a place in the round that was told before the name."""
        if self.open_measure is not None:
            if station.amount is None or station.amount.measure == "duration_s":
                station.amount = self.open_measure
            if self.open_line != segment.line:
                self.open_measure = None
        if self.pending is not None:
            station.amount = station.amount or self.pending.value
            self.pending = None
        if self.pending_when is not None:
            apply_figures(station, [self.pending_when], -1, self.lexicon)
            self.pending_when = None

    def _ladder_over(self, group: GroupDraft, station: StationDraft, segment: Segment) -> bool:
        """`21-15-9 ring dips and swings` on one line is done before a line with a count of its own begins."""
        if not segment.starts_line or station.amount is None or station.when or not 2 <= len(group.stations) <= 12:
            return False
        first = next((s for s in group.stations if s.amount is not None and len(s.amount.steps) > 1), group.stations[0])
        behind = group.stations[group.stations.index(first) + 1 :]
        climbs = (first.amount is not None and len(first.amount.steps) > 1 and first.amount.sets == 1) or (
            first.amount is None and group.scheme is not None and len(group.scheme.steps) > 1
        )
        shared = bool(behind) and all(other.amount is None and other.line == first.line for other in behind)
        on_line = group.scheme is None or self._line_of(group.scheme_at[0]) == first.line
        return climbs and shared and on_line and segment.line > first.line and len(station.amount.steps) <= 1

    def _line_of(self, place: int) -> int:
        return self.text.count("\n", 0, place)

    def _inline_over(self, group: GroupDraft, new: StationDraft) -> bool:
        inline = sum(station.line == group.inline for station in group.stations)
        own_sets = new.amount is not None and (new.amount.sets > 1 or new.words_sets)
        return group.rounds > 1 and (inline >= 2 or (inline == 1 and (own_sets or self._framed(new))))

    def _framed(self, new: StationDraft) -> bool:
        """`40 burpees` / `10 rounds: 12 thrusters` / `600 m run`: the last line is one of a list, as the first is."""
        before = self.section().groups[:-1]
        listed = any(other.stations and other.rounds == 1 and not other.role for other in before)
        return listed and not any(later.content for later in self.segments[self.at + 1 :] if later.line != new.line)


def _is_of_each_rung(group: GroupDraft, station: StationDraft, segment: Segment) -> bool:
    """`each round 100 m run` behind a ladder: once for each rung of it."""
    kinds = {item.kind for item in segment.items}
    if "per_round" not in kinds or not kinds.isdisjoint(("add", "less", "rise", "start_at")) or station.when:
        return False
    amount = station.amount
    if amount is None or len(amount.steps) != 1 or amount.sets > 1 or group.rounds > 1 or not group.stations:
        return False
    ladders = [group.scheme, *(other.amount for other in group.stations)]
    return any(one is not None and one.sets == 1 and len(one.steps) > 1 and not one.continues for one in ladders)
