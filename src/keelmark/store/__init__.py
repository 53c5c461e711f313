"""What a squad has kept, in SQLite or PostgreSQL."""

from keelmark.store.backup import Backup, TableContent, back_up, is_encrypted, move, read_backup, restore
from keelmark.store.copying import copy_load_data
from keelmark.store.ledger import ImportOutcome
from keelmark.store.soundness import Verdict, verify
from keelmark.store.store import Store
from keelmark.store.trail import TrailEntry, acting_as

__all__ = [
    "Backup",
    "ImportOutcome",
    "Store",
    "TableContent",
    "TrailEntry",
    "Verdict",
    "acting_as",
    "back_up",
    "copy_load_data",
    "is_encrypted",
    "move",
    "read_backup",
    "restore",
    "verify",
]
