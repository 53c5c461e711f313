"""Sentences of the pages that stand before and beside the app: signing in, accounts, links for guests."""

from __future__ import annotations

from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER

__all__ = [
    "CHANGED",
    "FORGOTTEN",
    "LINK_IS_OVER",
    "LINK_OPENS",
    "MAY_READ",
    "NOBODY_LOOKED",
    "NOT_RIGHT",
    "NOT_THE_SAME",
    "NO_ACCOUNTS",
    "ONLY_YOU",
    "ROLES_SAID",
    "SERVED",
    "WANTED_PASSWORD",
]

NOT_RIGHT = (
    "The name or the password is not right, or there were too many tries. If you are sure of both, wait a quarter of "
    "an hour."
)
FORGOTTEN = "If you cannot get in, ask the owner of this squad. They can give you a new password."
SERVED = "Served from this machine; nothing is sent elsewhere."
CHANGED = "Your password is changed. You are signed out everywhere else."
NOT_THE_SAME = "The new password was not typed the same way twice. Nothing was changed."
WANTED_PASSWORD = "At least {shortest} signs. Three or four words that do not belong together are best."
LINK_OPENS = "This link shows you what one athlete chose to show. It works until {until}. Each look is noted for them."
LINK_IS_OVER = "This link opens nothing any more. Ask for a new one."
NO_ACCOUNTS = "No accounts yet: everybody at this machine sees all and may change all."
ROLES_SAID = {
    OWNER: "You keep this squad's data and settings, and see what a coach sees.",
    COACH: "You see the squad, each athlete, and what they say about their bodies.",
    PROGRAMMER: "You write the programme and see loads. You do not see what athletes say about their bodies.",
    ATHLETE: "You see your own rows, and nobody else's.",
    GUEST: "You see what one athlete chose to show you.",
}
MAY_READ = "Besides the athlete, these may read it. A programmer may not, and no other athlete."
ONLY_YOU = "Nobody besides the athlete."
NOBODY_LOOKED = "Nobody else has looked so far."
