"""Sentences of the pages that stand before and beside the app: signing in, accounts, links for guests."""

from __future__ import annotations

from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER

__all__ = [
    "ACCOUNT_ADDED",
    "ACCOUNT_CLOSED",
    "AGREED",
    "AGREE_NOTE",
    "CHANGED",
    "CLOSING",
    "FIRST_ACCOUNT",
    "FORGOTTEN",
    "GUARDIAN_AGREES",
    "GUARDIAN_TELLS",
    "GUESTS",
    "LINK_IS_OVER",
    "LINK_MADE",
    "LINK_OPENS",
    "LINK_WITHDRAWN",
    "MAY_READ",
    "NOBODY_LOOKED",
    "NOT_ASKED",
    "NOT_RIGHT",
    "NOT_THE_SAME",
    "NO_ACCOUNTS",
    "ONLY_YOU",
    "PASSWORD_GIVEN",
    "PRESS_WHEN_SAID",
    "ROLES_SAID",
    "ROLE_CHANGED",
    "SAID_NO",
    "SAID_YES",
    "SERVED",
    "SIGNED_OUT_EVERYWHERE",
    "TAKEN_BACK",
    "TELL_THEM",
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
FIRST_ACCOUNT = (
    "Nobody needs an account here so far. The owner comes first and opens all others. From then on nobody comes in "
    "without one, and the pages can be served to other machines too."
)
TELL_THEM = "Tell the person their first password yourself, and ask them to change it on their account page."
SIGNED_OUT_EVERYWHERE = "Whoever gets another role or password is signed out everywhere."
CLOSING = "Nobody comes in by it any more. What it did stays on record."
GUESTS = "A physiotherapist or doctor needs no account: a link shows them chosen things of one athlete for a while."
ACCOUNT_ADDED = "{name} may come in now."
ACCOUNT_CLOSED = "{name} may not come in any more."
ROLE_CHANGED = "{name} has another role from now on."
PASSWORD_GIVEN = "{name} has another password."
LINK_MADE = "The link is made. Copy it now: it is not kept and cannot be shown again."
LINK_WITHDRAWN = "The link opens nothing any more."
AGREED = "Agreed on {day} by {who}."
AGREE_NOTE = "A no counts at once: nothing shows or counts it any longer. A yes brings it back."
GUARDIAN_AGREES = "{name} is under age: {who} agrees for {name}, up to {day}."
GUARDIAN_TELLS = "To say yes, {who} tells a coach, who notes it here. You may say no yourself at any time."
NOT_ASKED = "Not asked so far."
PRESS_WHEN_SAID = "Press a button only when {who} has said so."
SAID_NO = "The no is noted. Nothing shows or counts it any longer."
SAID_YES = "The yes is noted."
TAKEN_BACK = "Not agreed since {day}."
