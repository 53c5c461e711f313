"""Reading what a club keeps: training logs, rosters and day states."""

from keelmark.ingest.log import LogReading, read_log
from keelmark.ingest.options import LogOptions
from keelmark.ingest.warnings import FileWarning

__all__ = ["FileWarning", "LogOptions", "LogReading", "read_log"]
