"""What one rep of each movement does, and what people call it."""

from keelmark.catalogue.catalogue import Catalogue
from keelmark.catalogue.load import catalogue_with, load_catalogue, shipped_catalogue
from keelmark.catalogue.model import Figure, Movement, RepMaximum, Swap
from keelmark.catalogue.names import NameIndex, fold

__all__ = [
    "Catalogue", "Figure", "Movement", "NameIndex", "RepMaximum", "Swap", "catalogue_with", "fold", "load_catalogue",
    "shipped_catalogue",
]  # fmt: skip
