"""Sentences of the pages that stand before and beside the app: signing in, accounts, links for guests."""

from __future__ import annotations

from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER

__all__ = [
    "ACCOUNT_ADDED",
    "ACCOUNT_CLOSED",
    "AGREED",
    "AGREE_NOTE",
    "APP_TAKEN_AWAY",
    "CHANGED",
    "CLOSING",
    "CODES_LEFT",
    "CODES_RENEWED",
    "CODE_NOT_RIGHT",
    "FIRST_ACCOUNT",
    "FIRST_PASSWORD_MADE",
    "FORGOTTEN",
    "GUARDIAN_AGREES",
    "GUARDIAN_NOTED",
    "GUARDIAN_TELLS",
    "GUESTS",
    "HAS_SECOND_STEP",
    "HOW_TO_PAIR",
    "KEEP_CODES",
    "LINK_IS_OVER",
    "LINK_MADE",
    "LINK_OPENS",
    "LINK_WITHDRAWN",
    "MAY_READ",
    "MUST_PAIR",
    "NOBODY_LOOKED",
    "NOT_ASKED",
    "NOT_RIGHT",
    "NOT_THE_SAME",
    "NO_ACCOUNTS",
    "NO_SECOND_STEP",
    "ONLY_YOU",
    "OWN_PASSWORD",
    "PAIRED",
    "PRESS_WHEN_SAID",
    "ROLES_SAID",
    "ROLE_CHANGED",
    "SAID_NO",
    "SAID_YES",
    "SECOND_STEP_ASKED",
    "SECOND_STEP_SET",
    "SERVED",
    "SESSIONS_ENDED",
    "SIGNED_OUT_EVERYWHERE",
    "TAKEN_BACK",
    "TAKE_APP_AWAY",
    "TELL_THEM",
    "TOO_FAST",
    "TYPE_INSTEAD",
    "TYPE_THE_CODE",
    "UNDER_AGE",
    "UNPAIRED",
    "WANTED_PASSWORD",
    "WITHOUT_PHONE",
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
TELL_THEM = "They get a first password, which you hand over yourself. They choose their own when they first sign in."
SIGNED_OUT_EVERYWHERE = "Whoever gets another role or password is signed out everywhere."
CLOSING = "Nobody comes in by it any more. What it did stays on record."
ACCOUNT_ADDED = "{name} may come in now."
GUESTS = "A physiotherapist or doctor needs no account: a link shows them chosen things of one athlete for a while."
ACCOUNT_CLOSED = "{name} may not come in any more."
ROLE_CHANGED = "{name} has another role from now on."
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
CODE_NOT_RIGHT = (
    "The code is not right, was used before, or there were too many tries. Wait for the next figures and type those."
)
TYPE_THE_CODE = "Open the app on your phone and type the six figures that it shows for keelmark."
WITHOUT_PHONE = (
    "Each recovery code opens the door once. If you have none left, ask the owner of this squad to take the app away."
)
OWN_PASSWORD = "Somebody else knows your first password. Choose one that only you know."
MUST_PAIR = "This squad asks for a second step: besides your password, a code from an app on your phone."
HOW_TO_PAIR = "Take a picture of this with a code app on your phone. Any app that shows codes of six figures will do."
TYPE_INSTEAD = "If you cannot take a picture, type this into the app:"
KEEP_CODES = (
    "Write these down or print them, and keep them away from your phone. Each lets you in once without it. They are "
    "not shown again."
)
PAIRED = "Your app is paired. From now on you need its code to sign in. You are signed out everywhere else."
CODES_RENEWED = "Here are other recovery codes. The former ones open nothing any more."
UNPAIRED = "Your app is taken away. You are signed out everywhere else."
HAS_SECOND_STEP = "Besides the password you need a code from the app on your phone."
NO_SECOND_STEP = "Whoever learns your password can come in as you. An app on your phone that shows a code stops that."
CODES_LEFT = "Recovery codes left: {left}."
SESSIONS_ENDED = "Those sign-ins are over."
FIRST_PASSWORD_MADE = (
    "{name} may come in. Hand over this first password yourself. It is not shown again and lasts {days} days. {name} "
    "then chooses another."
)
SECOND_STEP_ASKED = (
    "Whoever comes in as one of these needs a code from an app on their phone too. Who has none pairs an app when they "
    "sign in next."
)
SECOND_STEP_SET = "The second step is asked for as you chose."
APP_TAKEN_AWAY = "The app of {name} is taken away, and {name} is signed out everywhere."
TAKE_APP_AWAY = "For a lost phone: {name} then signs in with the password alone, or pairs another app."
TOO_FAST = "More was asked for than a person can read. Wait a minute, then go on."
GUARDIAN_NOTED = "It is noted who agrees."
UNDER_AGE = "If {name} is under age, write who agrees for {name}, and the last day before {name} comes of age."
