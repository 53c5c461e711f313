"""The programmer's desk: a week of whiteboard texts, what it comes to, where it clashes, and versions that fit."""

from keelmark.plan.above import AboveMarks, KindAbove, above_marks, marked_weeks
from keelmark.plan.assumed import Assumed, assumed, week_with_rounds
from keelmark.plan.balance import BALANCE_NOTE, Balance, balance_of_squad, history_before, worst_served
from keelmark.plan.calendar_file import NamedDays, calendar_of, calendar_of_days, named_days_from
from keelmark.plan.clash_rules import SENSITIVITY
from keelmark.plan.clashes import Clash, clashes
from keelmark.plan.day_headings import DAY_NAMES
from keelmark.plan.doses import PLAN_CHANNELS, PlanDoser
from keelmark.plan.explain import Explained, explain
from keelmark.plan.own_pace import paces_of
from keelmark.plan.people import PATTERNS, People, Person, reference_people
from keelmark.plan.planned_week import PlannedWeek
from keelmark.plan.projection import PlanMarks, marks_for_week, projection
from keelmark.plan.repair import Repair, balance_repairs, repairs
from keelmark.plan.season_plan import TAPER_CONTEXT, RampWeek, planned_against_done, ramp
from keelmark.plan.versions import Limit, Programme, Version, versions
from keelmark.plan.week_text import PlannedSession, WeekText, read_week, with_texts

__all__ = [
    "BALANCE_NOTE", "DAY_NAMES", "PATTERNS", "PLAN_CHANNELS", "SENSITIVITY", "TAPER_CONTEXT", "AboveMarks",
    "Assumed", "Balance", "Clash", "Explained", "KindAbove", "Limit", "NamedDays", "People", "Person", "PlanDoser",
    "PlanMarks", "PlannedSession", "PlannedWeek", "Programme", "RampWeek", "Repair", "Version", "WeekText",
    "above_marks", "assumed", "balance_of_squad", "balance_repairs", "calendar_of", "calendar_of_days", "clashes",
    "explain", "history_before", "marked_weeks", "marks_for_week", "named_days_from", "paces_of",
    "planned_against_done", "projection", "ramp", "read_week", "reference_people", "repairs", "versions",
    "week_with_rounds", "with_texts", "worst_served",
]  # fmt: skip
