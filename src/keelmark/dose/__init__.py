"""From efforts to the work of each kind that an athlete did on a day, with bounds."""

from keelmark.dose.daily import daily_dose
from keelmark.dose.session_load import session_load

__all__ = ["daily_dose", "session_load"]
