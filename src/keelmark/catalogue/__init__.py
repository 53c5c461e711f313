"""What one rep of each movement does, and what people call it."""

from keelmark.catalogue.catalogue import Catalogue
from keelmark.catalogue.load import shipped_catalogue
from keelmark.catalogue.model import Figure, Movement, Swap
from keelmark.catalogue.names import NameIndex, fold

__all__ = ["Catalogue", "Figure", "Movement", "NameIndex", "Swap", "fold", "shipped_catalogue"]
