"""Each athlete's own usual range, and the weeks that stand out from it."""

from keelmark.marks.audit import A_MONTH, Audit, AuditPlan, audit
from keelmark.marks.labels import labelled_weeks
from keelmark.marks.notices import notices
from keelmark.marks.settings import MarkSettings
from keelmark.marks.unchanged import squad_record
from keelmark.marks.usual_range import marks, next_week_marks

__all__ = [
    "A_MONTH",
    "Audit",
    "AuditPlan",
    "MarkSettings",
    "audit",
    "labelled_weeks",
    "marks",
    "next_week_marks",
    "notices",
    "squad_record",
]
