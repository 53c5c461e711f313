"""How long a part of a session took: from its text where the length is set, from the score where it is for time."""

from __future__ import annotations

import pytest

from keelmark.notation import Context, read


@pytest.mark.parametrize(
    ("text", "result", "clocks"),
    [
        ("AMRAP 12: 10 deadlifts 60 kg, 8 toes to bar", "5+3", (720.0,)),  # 12 x 60
        ("EMOM 10: 5 power cleans 50 kg", None, (600.0,)),  # 10 x 60
        ("every 2 min x 5: 3 deadlift 120 kg", None, (600.0,)),  # 5 x 120
        ("Tabata deadlift 40 kg", "12", (240.0,)),  # 8 x (20 + 10)
        ("21-15-9 for time: deadlift 80 kg, box jumps 60 cm", "9:30", (570.0,)),  # 9 x 60 + 30
        ("21-15-9 for time: deadlift 80 kg, box jumps 60 cm", None, (None,)),
        ("5x5 deadlift 100 kg", None, (None,)),
        ("A. 5x5 deadlift 100 kg\nB. AMRAP 6: 5 burpees, 5 deadlifts 60 kg", "6+2", (None, 360.0)),
    ],
)
def test_the_clock_of_each_part(text: str, result: str | None, clocks: tuple[float | None, ...]) -> None:
    """Derived in the comments; who says nothing about time leaves it unknown."""
    assert read(text, Context(result=result)).clocks == clocks


def test_one_time_for_two_parts_belongs_to_neither() -> None:
    text = "for time: 50 deadlifts 60 kg\n\nfor time: 50 burpees"
    assert read(text, Context(result="4:10")).clocks == (None, None)
