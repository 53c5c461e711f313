"""A plan as plain values for a machine."""

from __future__ import annotations

from typing import Any

from keelmark.cli.planning.figures import PlanFigures
from keelmark.plan import Balance, Clash, Explained, Programme, Repair

__all__ = ["plain"]


def plain(figures: PlanFigures) -> dict[str, Any]:
    """All of a plan's figures, ready for JSON."""
    plan, programme, explained = figures.plan, figures.programme, figures.explained
    above = plan.above()
    return {
        "monday": plan.monday.isoformat() if plan.monday else None,
        "for": figures.person.name,
        "remarks": list(plan.remarks),
        "doubts": [{"session": name, "message": message} for name, message, _ in figures.doubts],
        "not_counted": [{"session": name, "text": text} for name, text in figures.not_counted],
        "assumed": [
            {
                "session": one.session, "part": one.part, "what": one.what, "amount": one.amount.value,
                "low": one.amount.low, "high": one.amount.high, "unit": one.unit, "basis": one.basis,
                "scores": one.results,
            }
            for one in plan.assumed(figures.person.athlete_id)
        ],
        "matrix": list(plan.matrix(figures.person.athlete_id).iter_rows(named=True)),
        "totals": list(plan.totals(figures.person.athlete_id).iter_rows(named=True)),
        "balance": [_balance(pair, figures.mended(pair)) for pair in figures.balances],
        "farthest_from_intended": [{"name": name, "doublings": far} for name, far in figures.worst],
        "held_against": "intent" if figures.meant else "the week as written",
        "clashes": [_clash(clash, repairs) for clash, repairs in figures.clashes],
        "projection": list(figures.projection.iter_rows(named=True)),
        "above_marks": {
            "people": above.people, "surely": list(above.sure), "perhaps": list(above.perhaps),
            "weeks_before": above.weeks, "usual": above.usual,
            "kinds": [
                {"channel": one.channel, "surely": list(one.sure), "perhaps": list(one.perhaps), "usual": one.usual}
                for one in above.kinds
            ],
        },
        "agreed": [
            {"athlete_id": one.athlete_id, "channel": one.channel, "most": one.most}
            for one in (*plan.limits, *figures.limits)
        ],
        "versions": _versions(programme) if programme else None,
        "what_if": [
            {"asked": question.words, "athlete_id": question.athlete_id, "usual": usual, "changed": changed}
            for question, *weeks in figures.answers
            for usual, changed in [[list(week.iter_rows(named=True)) for week in weeks]]
        ],
        "explained": _explained(explained) if explained else None,
    }  # fmt: skip


def _balance(pair: Balance, repairs: list[Repair]) -> dict[str, Any]:
    return {
        "one": pair.one, "other": pair.other, "amount_one": pair.amount_one, "amount_other": pair.amount_other,
        "log2": pair.log2, "intended_log2": pair.intended_log2, "repairs": [_repair(one) for one in repairs],
    }  # fmt: skip


def _clash(clash: Clash, repairs: list[Repair]) -> dict[str, Any]:
    return {
        "rule": clash.rule, "place": clash.place, "first": clash.first.session, "then": clash.then.session,
        "hours": clash.hours, "may_be_meant": clash.opposing, "headline": clash.headline, "reason": clash.reason,
        "repairs": [_repair(one) for one in repairs],
    }  # fmt: skip


def _repair(one: Repair) -> dict[str, Any]:
    return {"kind": one.kind, "words": one.words, "cost": one.cost, "effect": dict(one.effect), "text": one.week_text}


def _versions(programme: Programme) -> dict[str, Any]:
    solution = programme.solution
    return {
        "aim": programme.aims,
        "feasible": solution.feasible,
        "conflict": list(programme.conflict),
        "gap": solution.gap if solution.feasible else None,
        "proven": solution.proven,
        "size": {"variables": solution.variables, "binaries": solution.binaries, "rows": solution.rows},
        "sessions": [
            {
                "session": version.session, "version": version.letter, "text": version.text,
                "edits": list(version.edits), "cost": version.cost, "athletes": list(version.athletes),
            }
            for version in programme.versions
        ],
    }  # fmt: skip


def _explained(told: Explained) -> dict[str, Any]:
    return {
        "movements": [
            {"movement": one.movement, "measure": one.measure, "amount": one.amount, "low": one.low, "high": one.high}
            for one in told.movements
        ],
        "parts": [
            {
                "label": one.label, "domain": one.domain, "seconds": one.seconds, "rounds": one.rounds,
                "lumbar": one.lumbar,
            }
            for one in told.parts
        ],
        "limiter": told.limiter,
        "cautions": list(told.cautions),
        "warm_up": list(told.warm_up),
        "scaling": [{"words": one.words, "cost": one.cost, "effect": list(one.effect)} for one in told.scaling],
        "not_counted": list(told.not_counted),
        "on_the_spot": told.on_the_spot,
    }  # fmt: skip
