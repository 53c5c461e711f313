"""What a squad has kept, in SQLite or PostgreSQL."""

from keelmark.store.copying import copy_load_data
from keelmark.store.ledger import ImportOutcome
from keelmark.store.store import Store

__all__ = ["ImportOutcome", "Store", "copy_load_data"]
