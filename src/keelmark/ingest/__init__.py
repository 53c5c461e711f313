"""Reading what a club keeps: training logs, rosters and day states."""

from keelmark.ingest.day_states import DayStateReading, read_day_states
from keelmark.ingest.labels import LabelReading, read_labels
from keelmark.ingest.log import LogReading, read_log
from keelmark.ingest.options import LogOptions
from keelmark.ingest.roster import RosterReading, read_roster
from keelmark.ingest.warnings import FileWarning, counted

__all__ = [
    "DayStateReading",
    "FileWarning",
    "LabelReading",
    "LogOptions",
    "LogReading",
    "RosterReading",
    "counted",
    "read_day_states",
    "read_labels",
    "read_log",
    "read_roster",
]
