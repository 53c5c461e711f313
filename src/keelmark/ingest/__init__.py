"""Reading what a club keeps: training logs, rosters and day states."""

from keelmark.ingest.board_archive import UnpackedBoards, unpack_boards
from keelmark.ingest.boards import Board, Boards, read_boards
from keelmark.ingest.day_states import DayStateReading, read_day_states
from keelmark.ingest.labels import LabelReading, read_labels
from keelmark.ingest.log import LogReading, read_log
from keelmark.ingest.options import LogOptions
from keelmark.ingest.roster import RosterReading, read_roster
from keelmark.ingest.source import text_source
from keelmark.ingest.warnings import FileWarning, counted
from keelmark.ingest.whiteboards import WhiteboardReading, read_whiteboards

__all__ = [
    "Board",
    "Boards",
    "DayStateReading",
    "FileWarning",
    "LabelReading",
    "LogOptions",
    "LogReading",
    "RosterReading",
    "UnpackedBoards",
    "WhiteboardReading",
    "counted",
    "read_boards",
    "read_day_states",
    "read_labels",
    "read_log",
    "read_roster",
    "read_whiteboards",
    "text_source",
    "unpack_boards",
]
