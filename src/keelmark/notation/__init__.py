"""Whiteboard text and scores to exact work: text, tree and meaning kept apart."""

from keelmark.notation.context import Context
from keelmark.notation.issues import Issue
from keelmark.notation.read import Reading, WorkDone, answer, read
from keelmark.notation.tree import Prescription

__all__ = ["Context", "Issue", "Prescription", "Reading", "WorkDone", "answer", "read"]
