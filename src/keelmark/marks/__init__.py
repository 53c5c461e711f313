"""Each athlete's own usual range, and the weeks that stand out from it."""

from keelmark.marks.usual_range import DEFAULT_SHARE, marks

__all__ = ["DEFAULT_SHARE", "marks"]
