"""Sentences of the Settings page: what each choice changes."""

from __future__ import annotations

__all__ = ["CHANGES", "NOT_PEOPLE", "OWN_MOVEMENTS", "SAVED", "WORDS"]

WORDS: dict[str, tuple[str, str]] = {
    "share_above": (
        "Weeks above the mark, out of 100",
        "How many of an athlete's usual weeks may lie above their upper mark. A smaller number moves the marks up, so "
        "that fewer weeks stand out. All marks are worked out anew.",
    ),
    "notice_budget": (
        "Notices shown first",
        "How many notices of a week the Squad page opens with. The others stay one step away.",
    ),
    "week_day": (
        "Day on which ratios are taken",
        "Ratios compare the days up to this one with the days before. All ratios are worked out anew.",
    ),
    "channels_shown": (
        "Kinds of work to choose from",
        "What the lists on the pages offer. Leave it empty for all. Nothing that was worked out goes away.",
    ),
    "load_unit": (
        "Loads in",
        "How loads and their sums are shown. Notices, papers and files to take away stay in kilograms.",
    ),
    "height_unit": (
        "Heights in",
        "How the height of a box or a target is shown. What somebody wrote is shown as they wrote it.",
    ),
    "language": (
        "Language of movement names",
        "How movements are named on the pages, and the language of messages to athletes. Notices and papers "
        "name them in English, and what somebody wrote is shown as they wrote it.",
    ),
    "country": (
        "Emergency number on the care cards",
        "The first line of the card that says what to do. Check that it is right where you train.",
    ),
}
"""Key of a setting: what it is called and what it changes."""
SAVED = "Saved. Pages show it from now on."
CHANGES = "Who changed what, newest first. Nothing is taken off this list."
NOT_PEOPLE = "A name for a stretch of days, such as a holiday. Weeks with a name do not teach the marks what is usual."
OWN_MOVEMENTS = (
    "A TOML file says what one rep of your own movements does. It is checked as a whole: with one mistake in it, "
    "nothing of it is kept."
)
