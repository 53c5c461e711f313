"""From days to weeks: amounts, ratios of change, monotony and strain, with reasons where a figure is withheld."""

from keelmark.load.settings import LoadSettings
from keelmark.load.weekly import weekly_figures

__all__ = ["LoadSettings", "weekly_figures"]
