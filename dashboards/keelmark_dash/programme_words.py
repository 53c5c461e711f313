"""What the page Programme says: hints, an example week, and sentences around its figures."""

from __future__ import annotations

__all__ = [
    "ALONE", "ASSUMED_NOTE", "CLASHES_NOTE", "EMPTY", "EXAMPLE", "LIMITS_NOTE", "MEANT", "PATTERN_WORDS",
    "SEASON_NOTE", "SENSITIVITY_WORDS", "SPAN_WORDS", "SQUAD_NOTE", "VERSIONS_NOTE", "WRITING",
]  # fmt: skip

WRITING = (
    "A day, then what stands on the whiteboard. Day names in English, German, Spanish, French or Portuguese, "
    "with a date or time where you like."
)
EMPTY = "The table fills while you write. Begin with a day, such as Monday, and put the session below it."
ALONE = (
    "Nobody is on record for this week, so two readers of the board stand here: one takes the heavier of two written "
    "loads, one the lighter. All amounts are absolute."
)
ASSUMED_NOTE = (
    "The text does not say how much is done here, so a number is taken. Type the rounds you expect: they go into the "
    "text as a line such as Goal: 6 rounds, and everything follows them."
)
SQUAD_NOTE = (
    "In most weeks somebody lies above something, because many kinds of work are watched. So the counts stand beside "
    "those of the weeks before."
)
LIMITS_NOTE = (
    "Keep an amount that you have agreed with an athlete. No version of the week passes it, by the figure that is "
    "planned. It holds from the first day to the last one, or until you take it back."
)
CLASHES_NOTE = (
    "A clash is two pieces of work that ask the same thing too close together. Amounts and hours are a coach's "
    "judgement; a couplet of opposing movements may well be meant."
)
VERSIONS_NOTE = (
    "Each session keeps the board as written and gets a few versions beside it, with as little changed as possible. "
    "Everybody does one of them. Looking for them may take some seconds."
)

SEASON_NOTE = (
    "What you mean for the squad week by week, kept with it, beside what was done: the middle of the squad and its "
    "middle half. A lighter week is six tenths of what it would have been."
)

SENSITIVITY_WORDS = {"few": "Only the plainest", "usual": "As usual", "many": "Early ones too"}
SPAN_WORDS = {"week": "This week", "4 weeks": "With the three before", "season": "With the season before"}
PATTERN_WORDS = {
    "own": "Everybody's own days",
    "every day": "Every day",
    "Monday, Wednesday, Friday": "Monday, Wednesday, Friday",
    "weekend": "Weekend",
}
MEANT = {
    "nothing in particular": 0.0, "one to three": 1 / 3, "one to two": 1 / 2, "two to three": 2 / 3, "one to one": 1.0,
    "three to two": 3 / 2, "two to one": 2.0, "three to one": 3.0,
}  # fmt: skip

EXAMPLE = """Monday 18:30
A) 5 x 5 back squat 80/55 kg

B) 4 rounds for time
10 toes to bar
15 kettlebell swings 24/16 kg

Tuesday 18:30
21-15-9
thrusters 40/30 kg
pull-ups

Thursday 18:30
5 rounds for time
400 m run
12 deadlift 100/70 kg
12 push-ups

Friday 18:30
Every 2:00 x 10: 6 box jumps 60/50 cm, 10 power snatch 35/25 kg

Saturday 10:00
AMRAP 20
500 m row
20 sit-ups
15 wall balls 9/6 kg
"""
