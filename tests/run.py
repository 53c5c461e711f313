"""Set up what the tests need, then run every check: format, lint, types, imports, tests.

Needs Python 3.11 or newer and nothing else:

    python3 tests/run.py            all checks and all tests
    python3 tests/run.py -k words   the same checks, with these options handed to pytest
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
NO_BROWSER = """\
The browser tests need Chromium and none of {names} is on the PATH.
What to do: install your system's Chromium package (Debian: apt-get install chromium) and run this again,
or name a browser in the environment variable KEELMARK_BROWSER.
"""


def run(*command: str | Path) -> None:
    """Run one command from the project's folder; stop with its exit code when it fails."""
    print("+", " ".join(str(part) for part in command), flush=True)
    finished = subprocess.run([str(part) for part in command], cwd=ROOT, check=False)
    if finished.returncode:
        sys.exit(finished.returncode)


def make_environment() -> Path:
    """A virtual environment with the pinned libraries; returns its folder of programs."""
    programs = ENVIRONMENT / ("Scripts" if os.name == "nt" else "bin")
    if not programs.exists():
        run(sys.executable, "-m", "venv", ENVIRONMENT)
    install = (programs / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check")
    run(*install, "--require-hashes", "-r", "constraints.txt")
    run(*install, "--no-deps", "--no-build-isolation", "-e", ".")
    return programs


def bring_browser() -> str:
    """The path of a Chromium, installed through the system's package manager where that is allowed."""
    named = os.environ.get("KEELMARK_BROWSER")
    if named:
        return named
    for _ in range(2):
        found = next(filter(None, map(shutil.which, BROWSERS)), None)
        if found:
            return found
        if not (shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0):
            break
        run("apt-get", "update", "-qq")
        run("apt-get", "install", "-y", "-qq", "--no-install-recommends", "chromium")
    sys.exit(NO_BROWSER.format(names=", ".join(BROWSERS)))


def main() -> None:
    """All checks in the order in which they are quickest to tell."""
    if sys.version_info < (3, 11):  # noqa: UP036 (whoever runs this may have an older one)
        sys.exit(f"Python {sys.version.split()[0]} was found. Wanted: 3.11 or newer. What to do: call a newer python3.")
    programs = make_environment()
    os.environ["KEELMARK_BROWSER"] = bring_browser()
    run(programs / "ruff", "format", "--check", ".")
    run(programs / "ruff", "check", ".")
    run(programs / "mypy")
    run(programs / "lint-imports")
    run(programs / "pytest", "-n", "2", "--dist", "loadscope", *sys.argv[1:])


if __name__ == "__main__":
    main()
