"""Compare efforts with a truth the way the corpus asks: summed by movement, kind of amount, load and height."""

from __future__ import annotations

from typing import Any

KINDS = ("reps", "distance_m", "calories", "duration_s")
Rows = list[tuple[tuple[Any, ...], float, list[float] | None]]


def summed(efforts: list[dict[str, Any]]) -> Rows:
    """Efforts summed where movement, kind, load (0.3 kg) and height (0.6 cm) agree."""
    rows: Rows = []
    for effort in efforts:
        for kind in KINDS:
            if effort.get(kind) is None:
                continue
            key = (effort["movement"], kind, effort.get("load_kg"), effort.get("height_cm"))
            for place, (other, amount, span) in enumerate(rows):
                if other[:2] == key[:2] and near(other[2], key[2], 0.3) and near(other[3], key[3], 0.6):
                    rows[place] = (other, amount + effort[kind], span)
                    break
            else:
                rows.append((key, effort[kind], effort.get("reps_range")))
    return rows


def near(one: float | None, other: float | None, tolerance: float) -> bool:
    """Both missing, or within the tolerance."""
    if one is None or other is None:
        return one is None and other is None
    return abs(one - other) <= tolerance


def same_work(wanted: list[dict[str, Any]], got: list[dict[str, Any]]) -> bool:
    """The efforts agree with a truth; where the truth is a range, any amount inside it does."""
    left = summed(got)
    expected = summed(wanted)
    if len(left) != len(expected):
        return False
    for key, amount, span in expected:
        low, high = span or (amount, amount)
        slack = 1e-6 if key[1] == "reps" else max(0.01 * abs(amount), 0.01)
        for row in left:
            agrees = row[0][:2] == key[:2] and near(row[0][2], key[2], 0.3) and near(row[0][3], key[3], 0.6)
            if agrees and low - slack <= row[1] <= high + slack:
                left.remove(row)
                break
        else:
            return False
    return True


def right(item: dict[str, Any], answer: dict[str, Any]) -> bool:
    """Work and issues of an answer are as the truth asks."""
    told = {issue["code"] for issue in answer["issues"] if issue["level"] != "note"}
    wanted = set(item["expected_issues"])
    flagged = wanted <= told if wanted else not told
    choices = [item["expected"], *(item.get("alt_expected") or [])]
    return flagged and any(same_work(choice, answer["efforts"]) for choice in choices)
