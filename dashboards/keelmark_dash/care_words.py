"""The texts of the two care cards. They are read by people; nothing in the program reads or scores them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from keelmark.contracts.emergency import EMERGENCY_NUMBERS

__all__ = ["CARDS", "READ_ONLY", "CareCard", "cards"]

READ_ONLY = (
    "These cards are for reading. Nobody ticks anything, nothing is scored, and nothing here means all clear. "
    "If you are worried and your sign is not listed, ask a doctor all the same."
)


@dataclass(frozen=True, slots=True)
class CareCard:
    """One card: its signs and what to do."""

    key: str
    title: str
    opening: str
    signs: tuple[str, ...]
    what_to_do_title: str
    what_to_do: tuple[str, ...]
    closing: str


CARDS: tuple[CareCard, ...] = (
    CareCard(
        key="now",
        title="Get medical help now",
        opening="Any one of these is enough. Do not wait for the next session, and do not drive yourself.",
        signs=(
            "Numbness or a strange feeling between the legs, around the genitals or the back passage",
            "Trouble passing water, or not noticing that it passes; loss of control of the bowel; a sudden change in "
            "sexual function",
            "Weakness in both legs, or weakness in one leg or foot that is growing",
            "Back or neck pain after a heavy fall, a blow or a crash",
            "Severe back pain together with fever or shivering",
            "Pain, pressure or tightness in the chest, or sudden trouble breathing",
            "Collapse, fainting, a fit, or sudden confusion",
            "Dark, cola-coloured urine with severe muscle pain, swelling or weakness after hard or unusual work",
        ),
        what_to_do_title="What to do",
        what_to_do=(
            "Call the emergency number. It is 112 in Europe and in many other countries. It is 999 or 112 in the "
            "United Kingdom, 911 in the United States and Canada, 000 in Australia, 111 in New Zealand.",
            "Say which sign it is, when it began and what was done before it.",
            "Stay with the person. After a fall or a blow to the neck or back, do not move them unless they are in "
            "danger.",
            "If somebody does not respond and does not breathe normally: start chest compressions and send for a "
            "defibrillator.",
        ),
        closing="Leave the training log for later. Nothing here means all clear.",
    ),
    CareCard(
        key="soon",
        title="Get it checked soon",
        opening="See a doctor or a physiotherapist within days, and say what you do in training.",
        signs=(
            "Pain that wakes you at night, or that does not change with position or rest",
            "Pain, tingling or numbness that runs down an arm or a leg",
            "Pain that keeps you from ordinary things such as walking, sleeping or working",
            "Pain in one spot of a bone that grows with running or jumping and stays when you stop",
            "A joint that swells, locks or gives way",
            "Pain that has not eased after two weeks, or that keeps coming back",
            "Weight loss, fever or feeling ill without a reason, together with back pain",
            "Missed periods, or tiredness for weeks that rest does not change",
            "Back pain when you have had cancer, have weak bones, take steroid tablets for long, or have low immunity",
        ),
        what_to_do_title="Until then",
        what_to_do=(
            "Tell the coach what you would rather leave out. You need not say why.",
            "If it gets worse quickly, or a sign of the other card appears, get medical help now.",
            "A doctor or physiotherapist decides what you may do; the coach fits the training to it.",
        ),
        closing="A short list cannot hold everything. Nothing here means all clear.",
    ),
)


def cards(country: str | None = None) -> tuple[CareCard, ...]:
    """Both cards, with the emergency number of a country when one is chosen."""
    if not country:
        return CARDS
    place, number = EMERGENCY_NUMBERS[country]
    call = f"Call the emergency number: {number}. It is the one for {place}."
    return tuple(
        replace(card, what_to_do=(call, *card.what_to_do[1:])) if card.key == "now" else card for card in CARDS
    )
