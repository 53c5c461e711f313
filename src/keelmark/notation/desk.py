"""The desk at which a text is assembled: what is open, where a thing goes, and the doubts met."""

from __future__ import annotations

from dataclasses import dataclass, field

from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount, Height, Load

__all__ = ["Desk", "Finding"]


@dataclass(slots=True)
class Finding:
    """A doubt met while reading: its code, its place, and what the message needs."""

    code: str
    start: int
    end: int
    data: dict[str, str] = field(default_factory=dict)


class Desk:
    """The open sections and groups, and the doubts met so far."""

    def __init__(self, lexicon: Lexicon, segments: list[Segment], text: str) -> None:
        self.sections: list[SectionDraft] = []
        self.now: SectionDraft | None = None
        self.default_share = ""
        self.team_seen = False
        self.own_next = False
        self.own_rest = False
        self.people: int | None = None
        self.each_known = False
        self.turns_of: dict[str, int] = {}
        self.interrupt = ""
        self.number_line = -1
        self.each_round_line = -1
        self.timeline = False
        self.alternating_here = False
        self.pending_seconds: float | None = None
        self.totals: list[tuple[StationDraft, GroupDraft, Item]] = []
        self.options: list[tuple[StationDraft | None, StationDraft | None, list[Item], list[Item]]] = []
        self.swaps: list[tuple[Item, str, float]] = []
        self.carried: list[tuple[Load, str, GroupDraft]] = []
        self.raised: list[tuple[Height, str, GroupDraft]] = []
        self.lost: list[tuple[GroupDraft, int]] = []
        self.lexicon = lexicon
        self.segments = segments
        self.text = text
        self.findings: list[Finding] = []
        self.loads_for: dict[str, Load] = {}
        self.heights_for: dict[str, Height] = {}
        self.muted = False
        self.greeted = -1
        self.mentioned: Item | None = None
        self.titled = ""
        self.relay: bool | None = None
        self.bell = ""
        self.outer: tuple[SectionDraft | None, int] = (None, 1)
        self.guesses = 0
        self.comments: list[tuple[int, int]] = []
        self.scaling = False
        self.options_from = -1
        self.option_list = -1
        self.stated: Item | None = None
        self.default_unit = ""
        self.training_max: Load | None = None
        self.training_max_lines: set[int] = set()
        self.pending: Item | None = None
        self.pending_when: Item | None = None
        self.open_measure: Amount | None = None
        self.again = 0
        self.unvested = False
        self.open_line = -1
        self.loads_of_sets: dict[int, Load] = {}
        self.of_levels: dict[str, tuple[Load | None, Height | None]] = {}
        self.level_at = ("", -1)
        self.last_only_line = -1
        self.last_content = max((n for n, segment in enumerate(segments) if segment.content), default=-1)
        self.at = 0
        self.language: str | None = None

    def find(self, code: str, start: int, end: int, **data: str) -> None:
        """Note a doubt."""
        self.findings.append(Finding(code, start, end, data))

    def _passed_over(self, items: list[Item]) -> None:
        """Figures that are taken for a remark: said, not dropped in silence."""
        start, end = items[0].start, items[-1].end
        self.comments.append((start, end))
        self.find("passed_over", start, end, words=self.text[start:end])

    def section(self) -> SectionDraft:
        """The section that is open, or a new one."""
        if self.now is None:
            self.now = SectionDraft(share=self.default_share)
            self.sections.append(self.now)
        return self.now

    def new_section(self, kind: str = "work", label: str = "") -> SectionDraft:
        """Open a section; one that is still empty and without a clock is taken over."""
        now = self.now
        if now is not None and now.fresh and not now.headed and not _waits_in_vain(now, label):
            now.kind, now.label = kind, label or now.label
        else:
            now = SectionDraft(kind, label, share=self.default_share)
            self.sections.append(now)
            self.now = now
        return now

    def current_group(self) -> GroupDraft:
        """The group that is open, or a new one."""
        section = self.section()
        if not section.groups:
            section.groups.append(GroupDraft())
        return section.groups[-1]

    def new_group(self, rounds: int = 1) -> GroupDraft:
        """Open a group in the open section; an empty one is taken over."""
        section = self.section()
        if section.groups:
            last = section.groups[-1]
            empty = not (last.stations or last.slots or last.parity or last.scheme or last.bare or last.role)
            if empty and last.rounds == 1:
                last.rounds = rounds
                return last
        group = GroupDraft(rounds=rounds)
        section.groups.append(group)
        return group

    def close_group(self) -> None:
        """What follows is not part of the rounds before."""
        self.current_group().closed = True

    def last_station(self) -> StationDraft | None:
        """The station read last in the open section."""
        section = self.now or self.section()
        for group in reversed(section.groups):
            if group.stations:
                return group.stations[-1]
            if group.slots or group.parity:
                return None
        return None

    def repeat(self, times: int) -> None:
        """`x2` behind a list: once more."""
        group = self.current_group()
        group.rounds *= max(1, times)

    def following(self) -> Segment | None:
        """The segment behind the one that is read; None at the end of the text."""
        return self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None

    def trailing(self) -> bool:
        """No more stations follow, and some stand before."""
        return self.at > self.last_content and self.now is not None and not self.now.fresh

    def section_last(self) -> StationDraft:
        """The station read last, which must exist."""
        last = self.last_station()
        assert last is not None
        return last


def _waits_in_vain(section: SectionDraft, label: str) -> bool:
    """`A: 5x5 @ 80 kg` with no movement, where part B begins."""
    lost = any(group.scheme is not None and group.scheme.sets > 1 for group in section.groups)
    return lost and bool(label) and bool(section.label) and section.label != label
