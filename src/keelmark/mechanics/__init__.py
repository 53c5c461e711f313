"""Published formulas: how bodies are made, what lifting asks of the lower back, how tissue tires."""

from keelmark.mechanics.anthropometry import Body, Range, body_of
from keelmark.mechanics.methods import OCCUPATIONAL_CONTEXT, Method, methods

__all__ = ["OCCUPATIONAL_CONTEXT", "Body", "Method", "Range", "body_of", "methods"]
