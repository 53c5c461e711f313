"""What athletes say about their bodies, beside what they did. It describes, and changes no training by itself."""

from keelmark.health.answers import ALL_WELL, Answers, asked_after, checked_answers, is_substantial, severity
from keelmark.health.areas import AREAS, area_label
from keelmark.health.association import Association, LagRatio, association
from keelmark.health.episodes import complaint_episodes, weeks_said
from keelmark.health.gaps import Gap, gaps
from keelmark.health.questions import QUESTIONS, SCALE_ID
from keelmark.health.return_plan import ReturnPlan, propose_return

__all__ = [
    "ALL_WELL", "AREAS", "QUESTIONS", "SCALE_ID", "Answers", "Association", "Gap", "LagRatio", "ReturnPlan",
    "area_label", "asked_after", "association", "checked_answers", "complaint_episodes", "gaps", "is_substantial",
    "propose_return", "severity", "weeks_said",
]  # fmt: skip
