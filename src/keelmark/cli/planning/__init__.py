"""What `keelmark plan` reads from its options and prints: the options, all figures together, a page of text, JSON."""

from keelmark.cli.planning.figures import PlanFigures
from keelmark.cli.planning.options import (
    WhatIf,
    agreed_limit,
    attendance,
    check_choices,
    chosen_session,
    intended,
    what_if,
)
from keelmark.cli.planning.plain import plain
from keelmark.cli.planning.printed import show

__all__ = [
    "PlanFigures",
    "WhatIf",
    "agreed_limit",
    "attendance",
    "check_choices",
    "chosen_session",
    "intended",
    "plain",
    "show",
    "what_if",
]
