"""Running the figures over many parts at once: threads of this machine, or an existing cluster of many."""

from keelmark.engine.partitions import Manifest, Tables, read_manifest, read_part, write_partitions
from keelmark.engine.run import ENGINES, Outcome, run_figures
from keelmark.engine.work import Work

__all__ = [
    "ENGINES", "Manifest", "Outcome", "Tables", "Work", "read_manifest", "read_part", "run_figures",
    "write_partitions",
]  # fmt: skip
