"""What one rep of each movement does, and what people call it."""

from keelmark.catalogue.load import Catalogue, shipped_catalogue
from keelmark.catalogue.model import Figure, Movement, Swap
from keelmark.catalogue.names import NameIndex, fold

__all__ = ["Catalogue", "Figure", "Movement", "NameIndex", "Swap", "fold", "shipped_catalogue"]
