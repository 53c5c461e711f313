"""Kill a writing program many times, and print how many kills hit which work and what was there afterwards:

python -m tests.store.kill --kills 300 [--db postgresql://…] [--seed 1]
"""

from __future__ import annotations

import argparse
import sys
import tempfile

from tests.store.kills import kill_again_and_again


def main() -> None:
    """Kill as often as the command line says, and print what was hit."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--db", default=None, help="an empty database; a new SQLite file when left out")
    said = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="keelmark-killed-") as folder:
        address = said.db or f"sqlite:///{folder}/squad.db"
        outcome = kill_again_and_again(
            address, said.kills, said.seed, lambda words: print(f"\r{words:<60}", end="", file=sys.stderr)
        )
    print(f"\n{'killed under way':<22}{'kills':>7}{'there wholly':>14}{'not there':>11}")
    for name in sorted(outcome.kills):
        print(
            f"{name:<22}{outcome.kills[name]:>7}{outcome.kept[name]:>14}{outcome.kills[name] - outcome.kept[name]:>11}"
        )
    print(f"{'after it was done':<22}{outcome.after:>7}{outcome.after:>14}{0:>11}")


if __name__ == "__main__":
    main()
