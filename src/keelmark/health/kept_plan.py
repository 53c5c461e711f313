"""Between a return plan and the row of the store that keeps it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from keelmark.health.return_plan import PATTERNS, ReturnPlan, Step, Usual

__all__ = ["plan_of_row", "steps_to_keep"]


def steps_to_keep(plan: ReturnPlan) -> dict[str, object]:
    """The weeks of a plan and the amounts they are shares of, as JSON can say it."""
    return {
        "unlogged": plan.unlogged,
        "usual": {channel: asdict(usual) for channel, usual in plan.usual.items()},
        "weeks": [
            {"monday": step.monday.isoformat(), "share": step.share, "by_hand": dict(step.by_hand)}
            for step in plan.steps
        ],
    }


def plan_of_row(row: Mapping[str, Any]) -> ReturnPlan:
    """A plan as it was settled, from a row of the RETURN_PLAN table."""
    kept = json.loads(row["steps"])
    return ReturnPlan(
        athlete_id=row["athlete_id"],
        gap_first=row["gap_first"],
        gap_last=row["gap_last"],
        unlogged=kept["unlogged"],
        usual={channel: Usual(**kept["usual"][channel]) for channel in PATTERNS if channel in kept["usual"]},
        steps=tuple(Step(date.fromisoformat(week["monday"]), week["share"], week["by_hand"]) for week in kept["weeks"]),
        source=row["source"],
        owner=row["owner"],
        review_date=row["review_date"],
        note=row["note"],
    )
