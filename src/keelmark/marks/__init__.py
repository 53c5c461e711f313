"""Each athlete's own usual range, and the weeks that stand out from it."""

from keelmark.marks.notices import notices
from keelmark.marks.settings import MarkSettings
from keelmark.marks.usual_range import marks, next_week_marks

__all__ = ["MarkSettings", "marks", "next_week_marks", "notices"]
