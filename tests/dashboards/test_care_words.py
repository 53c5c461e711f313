"""The care cards hold every sign they must hold, and promise nothing."""

from __future__ import annotations

import pytest

from keelmark_dash.care_words import CARDS, READ_ONLY

NOW = next(card for card in CARDS if card.key == "now")


@pytest.mark.parametrize(
    "sign",
    ["numbness", "passing water", "bowel", "both legs", "growing", "heavy fall", "fever", "chest", "collapse",
     "cola-coloured urine"],
)  # fmt: skip
def test_each_sign_that_cannot_wait_is_named(sign: str) -> None:
    assert sign in " ".join(NOW.signs).lower()


def test_no_card_means_all_clear() -> None:
    assert "nothing here means all clear" in READ_ONLY
    for card in CARDS:
        assert "Nothing here means all clear." in card.closing


def test_nothing_on_a_card_can_be_ticked_or_counted() -> None:
    for card in CARDS:
        assert not any(word in " ".join(card.signs).lower() for word in ("score", "points", "tick", "how many"))
