"""The list of cryptography is whole, and what came from others is never handed out again as it came."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
USED = tomllib.loads(Path(__file__).with_name("cryptography.toml").read_text(encoding="utf-8"))["use"]
_LIBRARIES = frozenset({
    "argon2", "cryptography", "flask_login", "flask_wtf", "hashlib", "hmac", "itsdangerous", "pyotp", "pyrage",
    "secrets", "ssl",
})  # fmt: skip


def _shipped() -> list[Path]:
    return [file for folder in ("src", "dashboards") for file in sorted((ROOT / folder).rglob("*.py"))]


def _libraries(file: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name.partition(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.partition(".")[0])
    return found


def test_every_use_of_cryptography_is_listed_and_nothing_else() -> None:
    using = {str(file.relative_to(ROOT).as_posix()) for file in _shipped() if _libraries(file) & _LIBRARIES}
    assert using == set(USED)


def test_no_weak_digest_guards_anything() -> None:
    """SHA-1 and MD5 stand only where the code says that they guard nothing."""
    for file in _shipped():
        for call in re.findall(r"hashlib\.(?:md5|sha1)\([^\n]*", file.read_text(encoding="utf-8")):
            assert "usedforsecurity=False" in call, f"{file.name}: {call}"


def test_no_page_or_command_hands_out_a_file_as_it_came() -> None:
    """Uploaded bytes are kept to be read again; what people take away is made anew from rows."""
    shown = [file for file in _shipped() if "keelmark_dash" in file.parts or "cli" in file.parts]
    shown += sorted((ROOT / "src/keelmark/report").glob("*.py"))
    assert len(shown) > 100
    assert [file.name for file in shown if re.search(r"\boriginal\(", file.read_text(encoding="utf-8"))] == []
