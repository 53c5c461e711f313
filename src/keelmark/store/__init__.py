"""What a squad has kept, in SQLite or PostgreSQL."""

from keelmark.store.ledger import ImportOutcome
from keelmark.store.store import Store

__all__ = ["ImportOutcome", "Store"]
