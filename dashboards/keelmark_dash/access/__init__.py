"""Who gets in, what they may ask for, and how every answer is guarded."""

from keelmark_dash.access.gate import guard
from keelmark_dash.access.rules import CALLBACKS, ENDPOINTS, PAGES, Rule

__all__ = ["CALLBACKS", "ENDPOINTS", "PAGES", "Rule", "guard"]
