"""Every reason why a row is set aside, in words, in one table."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["REASONS", "Finding", "Reason", "message", "remedy"]


@dataclass(frozen=True, slots=True)
class Reason:
    """What was found (with the cell as `{cell}` and a hint as `{hint}`), what was wanted, what to do."""

    found: str
    wanted: str
    remedy: str
    repairable: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One reason in one row: the column it stands in and the cell's text."""

    index: int
    code: str
    column: str = ""
    cell: str = ""
    hint: str = ""


_DATE_WANTED = "a day such as 2026-03-14, 14.03.2026 or 14 Mar 2026"
_NUMBER = "a number"

REASONS: dict[str, Reason] = {
    "bad_date": Reason("{cell} is not a day", _DATE_WANTED, "write the date of the training day"),
    "ambiguous_date": Reason(
        "{cell} can be read day first or month first, and no other date in the file decides",
        "dates whose order is clear",
        "say with --day-first or --month-first which comes first, or write dates as 2026-03-14",
    ),
    "date_without_year": Reason(
        "{cell} has no year",
        _DATE_WANTED,
        "add the year{hint}",
        repairable=True,
    ),
    "date_out_of_range": Reason("{cell} lies outside {hint}", "a day in that range", "correct the year"),
    "missing_athlete": Reason("there is no athlete", "the athlete's name", "write the name"),
    "unknown_athlete": Reason(
        "{cell} is not in the roster",
        "a name from the roster",
        "correct the name or add the person to the roster{hint}",
    ),
    "missing_movement": Reason("there is no movement", "the movement's name", "write the movement"),
    "unknown_movement": Reason(
        "{cell} is not in the catalogue",
        "a movement that the catalogue knows",
        "correct the name, or add the movement to the squad's own catalogue file{hint}",
    ),
    "unclear_movement": Reason(
        "{cell} is a word for several movements, and with a load beside it nothing says which",
        "the movement itself",
        "write which one it was: {hint}",
    ),
    "same_first_name": Reason(
        "{cell} is the first name of more than one person",
        "a name of their own for everybody",
        "tell them apart in the column of names, such as Anna B and Anna K",
    ),
    "formula_as_text": Reason("{cell} is a formula", "the name itself", "write the name"),
    "formula_without_result": Reason(
        "the cell holds a formula whose result was never stored",
        "a value",
        "open the file in a spreadsheet program and save it again, or write the value",
    ),
    "missing_sets": Reason("there are reps but no sets", "the number of sets", "write how many sets were done"),
    "non_numeric_sets": Reason("sets are {cell}", "a whole number of sets", "write how many sets were done"),
    "implausible_sets": Reason("sets are {cell}", "a whole number from 1 to {hint}", "check the figure"),
    "missing_reps": Reason("there are no reps", "reps per set", "write how many reps each set had"),
    "non_numeric_reps": Reason(
        "reps are {cell}",
        "one number of reps per set",
        "write one number; where sets differ, give each set its own row",
    ),
    "negative_reps": Reason("reps are {cell}", "a number from 1", "check the sign"),
    "implausible_reps": Reason("reps are {cell}", "a number from 1 to {hint}", "check the figure"),
    "missing_amount": Reason(
        "there are no reps, distance, time or calories",
        "at least one amount",
        "write how much was done",
    ),
    "non_numeric_load": Reason(
        "the load is {cell}",
        "kilograms such as 42.5, 2x16 for one in each hand, BW for none",
        "write the load as a number",
    ),
    "ambiguous_load": Reason(
        "the load {cell} can mean more than one load",
        "the one load that was used",
        "write the load that this athlete used; 2x16 means 16 in each hand",
    ),
    "relative_load": Reason("the load {cell} is a percentage", "kilograms", "write the kilograms that were lifted"),
    "body_mass_unknown": Reason(
        "the load {cell} needs the athlete's body mass, which is not known",
        "kilograms, or a body mass in the roster",
        "write the kilograms, or add the body mass to the roster",
    ),
    "negative_load": Reason(
        "the load is {cell}", "a load of zero or more", "check the sign; for assisted reps leave it empty"
    ),
    "implausible_load": Reason("the load {cell} is above {hint} kg", "a load one person can lift", "check the figure"),
    "lb_in_kg_column": Reason(
        "the load {cell} is in pounds in a column of kilograms",
        "kilograms",
        "write {hint}, or let pounds be converted (accept repairs)",
        repairable=True,
    ),
    "kg_in_lb_column": Reason(
        "the load {cell} is in kilograms in a column of pounds",
        "pounds",
        "write {hint}, or let kilograms be taken as they are (accept repairs)",
        repairable=True,
    ),
    "ambiguous_number": Reason(
        "{cell} can be read with a decimal mark or with a mark between thousands, and nothing in the file decides",
        "numbers whose marks are clear",
        "say with --decimal which mark is decimal, or write the number without marks",
    ),
    "rpe_out_of_range": Reason("the rating is {cell}", "a rating from 1 to 10", "check the figure"),
    "non_numeric_rpe": Reason("the rating is {cell}", "a rating from 1 to 10", "write one number"),
    "session_rpe_out_of_range": Reason("the session rating is {cell}", "a rating from 0 to 10", "check the figure"),
    "non_numeric_session_rpe": Reason("the session rating is {cell}", "a rating from 0 to 10", "write one number"),
    "non_numeric_session_min": Reason("the session's length is {cell}", "minutes", "write the minutes as a number"),
    "implausible_session_min": Reason("the session's length is {cell}", "1 to 1440 minutes", "check the figure"),
    "non_numeric_height": Reason("the height is {cell}", "a height in cm or in", "write the height as a number"),
    "implausible_height": Reason("the height is {cell}", "{hint}", "check the figure and its unit"),
    "non_numeric_distance": Reason(
        "the distance is {cell}", "a distance with its unit", "write the distance as a number"
    ),
    "negative_distance": Reason("the distance is {cell}", "a distance above zero", "check the sign"),
    "implausible_distance": Reason("the distance is {cell}", "more than zero and at most 300 km", "check the figure"),
    "non_numeric_duration": Reason("the duration is {cell}", "a time such as 1:30 or 90 s", "write the time so"),
    "ambiguous_duration": Reason(
        "the clock cell {cell} can mean hours and minutes or minutes and seconds",
        "seconds, or text such as 1:30",
        "write the time as text or in seconds",
    ),
    "implausible_duration": Reason("the duration is {cell}", "more than zero and at most 24 hours", "check the figure"),
    "non_numeric_calories": Reason("calories are {cell}", _NUMBER, "write the calories as a number"),
    "implausible_calories": Reason("calories are {cell}", "more than 0 and at most 10,000", "check the figure"),
    "unknown_side": Reason("the side is {cell}", "left, right, both or alternating", "correct the side"),
    "unknown_version": Reason("the version is {cell}", "as written, scaled or swapped", "correct the version"),
    "unknown_unit": Reason("the unit of the load is {cell}", "kg or lb", "write kg or lb beside the load"),
    "field_count": Reason(
        "the row has {cell} cells",
        "{hint} cells, as many as the header",
        "look for a missing or an extra delimiter; put cells that contain the delimiter in quotation marks",
    ),
    "open_quote": Reason(
        "a quotation mark is opened and not closed in this row",
        "quotation marks in pairs",
        "close the quotation mark, or double it where it belongs to the text",
    ),
    "unknown_state": Reason(
        "the state is {cell}",
        "rest, ill, travel, away, restricted, trained, partly or unlogged",
        "correct the state",
    ),
    "missing_label": Reason("no label is given", "what the days are called", "write a word such as holidays"),
    "no_whiteboard": Reason(
        "there is no whiteboard text for {cell}",
        "a text for the day of each score{hint}",
        "add the text, or correct the day or the session",
    ),
    "which_whiteboard": Reason(
        "there are several whiteboard texts for {cell}",
        "the name of the session: {hint}",
        "write the session beside the score",
    ),
    "whiteboard_unreadable": Reason(
        "nothing could be read from the whiteboard text of {cell}",
        "movements with their counts",
        "look at the text: {hint}",
    ),
    "second_score": Reason(
        "the result {cell} is not the first one for this person and session{hint}",
        "one row for each person and session",
        "keep one of the rows; results of several parts stand in one cell, such as A: 100 kg; B: 7+12",
    ),
    "score_stored_otherwise": Reason(
        "other work is stored already for this person and session{hint}",
        "the score that is stored, or a session without one",
        "take that import back first, or correct the row",
    ),
    "result_conflict": Reason(
        "the result {cell} cannot belong to the work on the whiteboard{hint}",
        "a result of the kind this work is scored by, within what was prescribed",
        "correct the result, or the text",
    ),
    "unclear_result": Reason(
        "the result {cell} was turned into a day or a clock time by the spreadsheet program",
        "the result as text, such as 7+12 or 14:30",
        "set the column to text and write the result again",
    ),
    "unknown_standard": Reason("the standard is {cell}", "heavier or lighter", "correct the standard"),
    "standard_needed": Reason(
        "the whiteboard has two loads or heights, and nothing says which one this athlete uses",
        "heavier or lighter, in the row or in the roster",
        "write the standard beside the score, or add it to the roster",
    ),
    "unknown_option": Reason(
        "the version is {cell}",
        "as written, scaled, or swaps such as run -> row",
        "correct the version{hint}",
    ),
    "scaled_not_written": Reason(
        "the version is scaled, and the whiteboard does not say what that means",
        "a scaled option on the whiteboard, or the movements that were swapped",
        "add the option to the text, or write the swap, such as run -> row",
    ),
    "swap_not_there": Reason(
        "the version {cell} swaps a movement that is not in the text{hint}",
        "movements of that whiteboard",
        "correct the version",
    ),
    "bad_period": Reason(
        "the period {cell} ends before it starts, or is longer than a year",
        "a first day on or before the last",
        "check both days",
    ),
}


def message(finding: Finding, *, row: int, line: int) -> str:
    """The whole sentence for one finding: where, found, wanted, what to do."""
    reason = REASONS[finding.code]
    place = f"row {row}" if row == line else f"row {row}, line {line}"
    column = f", column {finding.column}" if finding.column else ""
    found, wanted = (_filled(text, finding) for text in (reason.found, reason.wanted))
    return f"{place}{column}: {found}. Wanted: {wanted}. What to do: {_filled(reason.remedy, finding)}."


def remedy(finding: Finding) -> str:
    """What to do about one finding."""
    return _filled(REASONS[finding.code].remedy, finding)


def _filled(text: str, finding: Finding) -> str:
    cell = f"'{finding.cell}'" if finding.code != "field_count" else finding.cell
    if not finding.cell.strip() and finding.code != "field_count":
        cell = "an empty cell"
    return text.replace("{cell}", cell).replace("{hint}", finding.hint)
