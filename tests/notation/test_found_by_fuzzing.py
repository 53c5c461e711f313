"""Texts that once broke one of the laws that every text must keep; each was found by the fuzzer and made shorter."""

import pytest
from tests.notation.fuzz.trial import trial


@pytest.mark.parametrize(
    "text",
    [
        "Stahe ir bkie in min 1, +2 cal every min2Bs ytahe ir bkie in min 1, +2 cal every min2Bs yoou",
        "part 12.5: 40 cal row\n10 burpees",
        "bloc 2 : 50 wall-balls 9/6 kg\nbloc 12×12,5 : 40 cal rameur",
        "20:00-00:30 AMRAP: 8 burpees, 12 KBS 24/16 kg",
        "EMOM 10: 0) 8 thrusters 30 kg",
        "EMOM: 5 pull-ups,0:: 8 burpees, 12 KBS 24/16 kg",
        "Alle 2 min: 2 Umsetzen und Stoßen, Start mit 50 kg, jedes Mal 0 kg mehr, bis du scheiterst",
        "teams of 3, relay\nq5 laps total = 5 laps each\n1 lap = 12 cal ski + 8 burpees",
        "back squat 3x5 @ RPE 7-8, pick your own w\u0274ight & write it 0up",
        "back squat 4 set1x20 s of 5: first set 1first set 110 kg, take 10 kg off for each fo",
        "In und'squatur heaviest minutes find frons double,",
        "DL cl0usters: 5 x (3.2.1) @ 85%, 20 s inside the) cluster, 3 mi",
        "Hang power clean hurdls erk,  2+x( 51), 60 kg",
        "(kg x reps x sets)\nBS 25x5x1 80x5x00x3x120x2x3\nP4 S015 KBS 24/x5x3",
    ],
)
def test_the_laws_hold(text: str) -> None:
    """Every character accounted for, bounds and places in order, and the exact form reads back."""
    for choice in range(0, 210, 70):
        for further in range(10):
            trial(text, choice + further)
