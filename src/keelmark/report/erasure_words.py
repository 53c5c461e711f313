"""What an erasure did, in plain words: the proof, and what it cannot reach."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["BEFORE_ERASING", "OUT_OF_REACH", "erasure_lines"]

BEFORE_ERASING = (
    "This removes every row of this person: training, figures, answers, limits, consents, account. It cannot be taken "
    "back. Take the archive away first if it may be wanted later."
)
OUT_OF_REACH = (
    "What left this store before stays where it is: backups, archives, papers, files on other disks. Delete those by "
    "hand. The whole log, brought in again after it was undone, would bring the person back."
)
_TABLES = {
    "account": "accounts",
    "account_session": "open sessions",
    "athlete": "descriptions of the person",
    "calendar_label": "calendar labels",
    "consent": "consents",
    "day_state": "days without training",
    "decision": "decisions about notices",
    "effort": "rows of work",
    "guest_link": "links for guests",
    "health_agreed_limit": "agreed amounts",
    "health_check_in": "check-ins",
    "health_complaint_decision": "decisions about complaints",
    "health_limit": "limits",
    "health_return_plan": "return plans",
    "look": "looks at health data",
    "person": "people",
    "planned_amount": "amounts of kept weeks",
    "rep_maximum": "lifting maxima",
    "session": "sessions",
    "sign_in": "tries at signing in",
}


def erasure_lines(done: Mapping[str, Any]) -> list[str]:
    """What was removed and what was found afterwards, one line each; `done` holds the fields of `Erased`."""
    removed = ", ".join(f"{count} {_TABLES.get(table, table)}" for table, count in done["rows"].items())
    lines = [f"Removed: {removed or 'nothing'}."]
    if done["blanked_rows"]:
        lines.append(f"Emptied: what was kept of {done['blanked_rows']} rows of imported files.")
    if done["redacted_originals"] or done["dropped_originals"]:
        lines.append(
            f"Imported files: {done['redacted_originals']} kept with this person's rows blanked, "
            f"{done['dropped_originals']} removed as a whole."
        )
    if done["words"]:
        lines.append(f"The name was replaced by dots in {done['words']} other texts.")
    if done["name_shared"]:
        lines.append("Somebody else here bears the same name, so texts with the name were left as they are.")
    lines.append("Every table was searched afterwards: nothing of this person is left.")
    if not done["rewritten"]:
        lines.append(
            "The file could not be written anew, because another program has it open: close that and run "
            "keelmark athlete tidy."
        )
    lines.append(OUT_OF_REACH)
    return lines
