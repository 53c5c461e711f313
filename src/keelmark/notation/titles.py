"""Titles of the parts of a day: warm-up, strength, cool-down."""

from __future__ import annotations

from keelmark.notation.desk import Desk
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment

__all__ = ["TITLES", "Titles"]

TITLES = frozenset(
    [
        "warm_up",
        "cool_down",
        "strength",
        "conditioning",
        "accessory",
        "mobility",
        "core",
        "gymnastics",
        "practice",
        "free",
    ]
)


class Titles(Desk):
    """Opens a section where a title stands."""

    def _is_title(self, segment: Segment, items: list[Item]) -> bool:
        if not segment.strong:
            return False
        if items[0].kind in ("practice", "free"):
            return False
        if len(items) == 1 or segment.after == "colon":
            return True
        rest = items[1:]
        if all(
            item.kind
            in (
                "dur",
                "word",
                "pace",
                "core",
                "strength",
                "letter",
                "conditioning",
                "rounds_head",
                "warm_up",
                "cash_out",
                "buy_in",
            )
            for item in rest
        ):
            return True
        return (
            rest[0].kind in ("movement", "rounds_head", "amrap_head", "every_head", "for_time", "amount")
            and segment.starts_line
        )

    def _title_of_same_name(self, item: Item) -> list[Item]:
        """`Stretch:` is a title where a movement has that name, too."""
        whole = item.kind == "movement" and self._role_is_whole(item)
        title = next((role for role in item.roles if role in TITLES), None) if whole else None
        if title is None:
            return [item]
        self.new_section("work", title).label = title
        return []

    def _role_is_whole(self, item: Item) -> bool:
        """`Stretch` is a title by all of its words, `levantamento terra` only by the first of them."""
        words = item.word.split()
        role = self.lexicon.role(words, 0, self.language) if words else None
        return role is not None and role[0] == len(words)

    def _title(self, segment: Segment, items: list[Item]) -> list[Item]:
        section = self.new_section("work", items[0].kind)
        section.label = items[0].kind
        rest = items[1:]
        if not segment.content:
            rest = [item for item in rest if item.kind not in ("dur", "word", "pace")]
        return rest
