"""From efforts to the work of each kind that an athlete did on a day, with bounds."""

from keelmark.dose.contributions import contributions, contributions_to
from keelmark.dose.daily import daily_dose
from keelmark.dose.session_load import session_load

__all__ = ["contributions", "contributions_to", "daily_dose", "session_load"]
