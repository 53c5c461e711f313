"""What the command line and the pages ask for, each thing in one call."""

from keelmark.service.auditing import AuditReport
from keelmark.service.bringing import Brought
from keelmark.service.demo import load_demo
from keelmark.service.preview import Preview
from keelmark.service.rereading import ChangedSession
from keelmark.service.season import RULE_VERSION, Season
from keelmark.service.squad import Squad
from keelmark.service.squad_settings import SETTINGS, Setting
from keelmark.service.whiteboards import BroughtWhiteboards, Evening, TextReading

__all__ = [
    "RULE_VERSION", "SETTINGS", "AuditReport", "Brought", "BroughtWhiteboards", "ChangedSession", "Evening", "Preview",
    "Season", "Setting", "Squad", "TextReading", "load_demo",
]  # fmt: skip
