"""What the catalogue as a whole keeps to."""

from __future__ import annotations

from keelmark.catalogue import shipped_catalogue


def test_a_swap_gives_some_amount_in_the_usual_measure_of_the_original() -> None:
    catalogue = shipped_catalogue()
    knees = next(swap for swap in catalogue["toes_to_bar"].swaps if swap.to == "hanging_knee_raise")
    assert (catalogue["toes_to_bar"].measures[0], knees.ratio.value) == ("reps", 2)
    assert catalogue["run"].measures[0] == "distance_m"
    assert all(swap.ratio.low > 0 for movement in catalogue.movements.values() for swap in movement.swaps)


def test_the_shipped_catalogue_is_read_once() -> None:
    assert shipped_catalogue() is shipped_catalogue()
