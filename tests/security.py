"""Look at the code, its libraries and what is shipped for known weaknesses.

    python -m tests.security code                 bandit over all that is shipped
    python -m tests.security libraries            known weaknesses of the pinned libraries, asked of the public database
    python -m tests.security libraries OSV_FOLDER the same from advisories in OSV form that lie on this machine
    python -m tests.security parts [FILE]         a CycloneDX list of all pinned libraries (SBOM)

Ends with 1 when a weakness is found, and says so when something could not be looked at.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from packaging.version import InvalidVersion, Version

__all__ = ["advisories_that_apply", "main", "pinned"]

ROOT = Path(__file__).resolve().parent.parent
_PIN = re.compile(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)", re.MULTILINE)
_UNREACHABLE = ("ConnectionError", "Max retries", "Failed to establish", "timed out", "NameResolution", "ServiceError")


LOOKED_AT = {
    ("src/keelmark/report/html.py", "B704"): "holds the house's own letters, nothing that anybody wrote",
    ("src/keelmark/store/backup.py", "B608"): "the text holds the name of a table that stands in the code",
    ("src/keelmark/store/migrate.py", "B608"): "the text holds the name of a table that stands in the code",
    ("src/keelmark/store/soundness.py", "B608"): "the text holds the name of a table that stands in the code",
}
"""What was found and is as it should be: file and number of the finding, and why."""


def pinned(text: str) -> dict[str, Version]:
    """Library to version of a constraints file."""
    return {name.lower().replace("_", "-"): Version(version) for name, version in _PIN.findall(text)}


def advisories_that_apply(folder: Path, libraries: dict[str, Version]) -> Iterator[str]:
    """Advisories in OSV form whose versions hold a pinned library."""
    for file in sorted(folder.rglob("*.json")):
        advisory = json.loads(file.read_text(encoding="utf-8"))
        for affected in advisory.get("affected", []):
            name = affected.get("package", {}).get("name", "").lower().replace("_", "-")
            if name in libraries and _holds(affected, libraries[name]):
                yield f"{advisory['id']}: {name} {libraries[name]}: {advisory.get('summary', 'no summary')}"


def _holds(affected: dict[str, object], version: Version) -> bool:
    if str(version) in affected.get("versions", []):  # type: ignore[operator]
        return True
    for span in affected.get("ranges", []):  # type: ignore[attr-defined]
        inside = False
        for event in span["events"] if span["type"] in ("ECOSYSTEM", "SEMVER") else ():
            for kind, written in event.items():
                inside = _after(kind, written, version, inside)
        if inside:
            return True
    return False


def _after(kind: str, written: str, version: Version, inside: bool) -> bool:
    """Whether a version is inside a span once an event of it has been read."""
    try:
        border = Version(written)
    except InvalidVersion:
        return inside
    if kind == "introduced" and version >= border:
        return True
    if (kind == "fixed" and version >= border) or (kind == "last_affected" and version > border):
        return False
    return inside


def _run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", *words], cwd=ROOT, capture_output=True, text=True, check=False)


def code() -> int:
    """Weaknesses of medium weight or more in what is shipped."""
    done = _run("bandit", "-q", "-r", "src", "dashboards", "-ll", "-f", "json")
    said = json.loads(done.stdout)
    found = [(one["filename"], one["test_id"], one["line_number"], one["issue_text"]) for one in said["results"]]
    new = [one for one in found if (one[0], one[1]) not in LOOKED_AT]
    counted = f"{len(found)} findings of medium or high weight, {len(new)} of them not looked at yet"
    print(f"{len(said['metrics']) - 1} files, {counted}")
    for file, test, line, text in new:
        print(f"{file}:{line}: {test} {text}")
    return 1 if new or said["errors"] else 0


def libraries(folder: str | None = None) -> int:
    """Known weaknesses of the pinned libraries."""
    constraints = ROOT / "constraints.txt"
    if folder is not None:
        kept = Path(folder)
        if not any(kept.rglob("*.json")):
            print(f"There is no advisory in {kept}. Wanted: a folder of JSON files in OSV form.")
            return 2
        found = list(advisories_that_apply(kept, pinned(constraints.read_text(encoding="utf-8"))))
        print("\n".join(found) or f"No advisory in {kept} holds a pinned library.")
        return 1 if found else 0
    done = _run("pip_audit", "--disable-pip", "--no-deps", "--progress-spinner", "off", "-r", str(constraints))
    if done.returncode and any(sign in done.stderr for sign in _UNREACHABLE):
        print("NOT LOOKED AT: the public database of weaknesses cannot be reached from this machine.")
        print("What to do: run this where it can be, or give a folder of advisories in OSV form.")
        return 0
    print((done.stdout + done.stderr).strip())
    return done.returncode


def parts(file: str | None = None) -> int:
    """The list of parts, the same bytes for the same constraints."""
    words = [
        "cyclonedx_py",
        "requirements",
        "constraints.txt",
        "--pyproject",
        "pyproject.toml",
        "--output-reproducible",
    ]
    done = _run(*words, "--of", "JSON", *(("-o", file) if file else ()))
    print(done.stdout.strip() or done.stderr.strip())
    return done.returncode


def main(arguments: Sequence[str]) -> int:
    """Do what is asked for."""
    asked = {"code": code, "libraries": libraries, "parts": parts}
    if not arguments or arguments[0] not in asked:
        print(__doc__)
        return 2
    return asked[arguments[0]](*arguments[1:])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
