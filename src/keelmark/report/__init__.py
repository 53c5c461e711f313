"""Telling: tables to take away, papers as HTML and PDF, an archive of one athlete, words to send."""

from keelmark.report.archive import Sheet, data_package
from keelmark.report.briefs import AthleteWeek, SquadWeek, athlete_brief, coach_brief
from keelmark.report.csv_file import GUARD_RULE, csv_bytes, guarded, unguarded
from keelmark.report.document import Paper
from keelmark.report.file_names import file_name
from keelmark.report.hand_over import HandOver, hand_over_paper
from keelmark.report.html import html_of
from keelmark.report.pdf import pdf_of
from keelmark.report.quiet import LANGUAGES, quiet_message
from keelmark.report.table_schema import table_schema

__all__ = [
    "GUARD_RULE", "LANGUAGES", "AthleteWeek", "HandOver", "Paper", "Sheet", "SquadWeek", "athlete_brief",
    "coach_brief", "csv_bytes", "data_package", "file_name", "guarded", "hand_over_paper", "html_of", "pdf_of",
    "quiet_message", "table_schema", "unguarded",
]  # fmt: skip
