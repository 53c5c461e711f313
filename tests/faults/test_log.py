"""The log tells of faults and slow answers, and of nobody."""

from __future__ import annotations

import json
import logging
import socket
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from itertools import cycle, islice
from pathlib import Path

import pytest

from keelmark.cli.event_log import LOG_TO_VARIABLE, WithoutPeople, _elsewhere, begin_log
from keelmark.contracts.errors import SettingError
from keelmark.service import Squad
from keelmark_dash import create_app
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.slow_answers import tell_slow_answers
from tests.faults.doors import CHECK_INS, LOG, ROSTER, crew
from tests.faults.web import VALUES, _answered, _asked, _show

PERSONAL = ("aled", "bridie", "cerys", "dai", "lumbosacral", "steady", "142.5", "2025-w36")


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Path]:
    """A log that begins now and ends with the test."""
    place = begin_log(tmp_path / "logs" / "keelmark.log")
    yield place
    root = logging.getLogger()
    for handler in [handler for handler in root.handlers if isinstance(handler.formatter, WithoutPeople)]:
        root.removeHandler(handler)
        handler.close()


def _lines(log: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()]


def test_driving_the_pages_leaves_nothing_personal_in_the_log(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_given: object, **_named: object) -> None:
        raise KeyError("Aled is ill")

    with crew() as squad:
        app = create_app(squad)
        tell_slow_answers(app, slow_ms=0.0)
        client = app.server.test_client()
        values = cycle((*VALUES[:12:3], {"athlete": "aled", "week": "2025-W36"}, "aled", "?athlete=aled", ["Aled"]))
        for output in _answered(app, client):
            for value in islice(values, 2):
                client.post("/_dash-update-component", json=_asked(app, output, lambda value=value: value))
        client.get("/athlete?athlete=aled")
        monkeypatch.setattr(Squad, "season", fail)
        client.post("/_dash-update-component", json=_show("/", "?athlete=aled&week=2025-W36"))
    told = log.read_text(encoding="utf-8").lower()
    lines = _lines(log)
    assert any("reference" in str(line.get("what")) for line in lines), "a fault was provoked and is told"
    assert any(line.get("what") == "Slow answer" and line["callback"] == "app:_show" for line in lines)
    assert [word for word in PERSONAL if word in told] == []


def test_a_refusal_is_logged_by_its_rule_and_never_by_who(log: Path) -> None:
    with crew() as squad:
        app = create_app(squad)
        client = app.server.test_client()
        output = next(one for one in _answered(app, client) if callback_names(app)[one] == "parts.rights:_archive")
        client.post("/_dash-update-component", json=_asked(app, output, lambda: ["Aled"]))
        client.post("/_dash-update-component", json={}, headers={"Origin": "http://aled.example"})
    told = [
        (line["what"], line["status"], line.get("callback")) for line in _lines(log) if line.get("what") == "Refused"
    ]
    assert told == [("Refused", 400, "parts.rights:_archive"), ("Refused", 403, None)]
    assert "aled" not in log.read_text(encoding="utf-8").lower()


@pytest.mark.skipif(not hasattr(socket, "AF_UNIX"), reason="log services have no sockets in files there")
def test_the_machine_s_log_service_gets_the_same_lines(
    tmp_path: Path, log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with tempfile.TemporaryDirectory() as short, socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as service:
        service.bind(f"{short}/log")
        service.settimeout(30)
        monkeypatch.setenv(LOG_TO_VARIABLE, f"{short}/log")
        root = logging.getLogger()
        before = list(root.handlers)
        for handler in [one for one in before if isinstance(one.formatter, WithoutPeople)]:
            root.removeHandler(handler)
        begin_log(tmp_path / "another.log")
        added = [one for one in root.handlers if one not in before]
        try:
            logging.getLogger("keelmark.x").error("Row of %s in %d ms", "Aled", 7)
            sent = service.recv(4_096).decode()
        finally:
            for handler in added:
                root.removeHandler(handler)
                handler.close()
            root.handlers[:] = before
    head, _, line = sent.partition("keelmark: ")
    assert head.startswith("<11>"), "RFC 5424, section 6.2.1: facility user (1) x 8 + severity error (3)"
    assert json.loads(line.rstrip("\0"))["what"] == "Row of … in 7 ms"
    assert not log.read_text(encoding="utf-8")


def test_a_log_service_that_is_not_there_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(LOG_TO_VARIABLE, str(tmp_path / "nowhere"))
    with pytest.raises(SettingError, match="there is no log service at that place"):
        _elsewhere()


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are kept otherwise there")
def test_only_its_owner_may_read_the_log(log: Path) -> None:
    assert stat.S_IMODE(log.stat().st_mode) == 0o600


def test_what_other_libraries_say_and_what_errors_say_is_left_out(log: Path) -> None:
    logging.getLogger("elsewhere").error("Aled is ill")
    logging.getLogger("keelmark.x").error("Row of %s in %d ms, reference %s", "Aled", 7, "0a1b2c3d")
    try:
        raise KeyError("Bridie")
    except KeyError:
        logging.getLogger("keelmark.x").exception("It failed")
    foreign, ours, error = _lines(log)
    assert "what" not in foreign
    assert ours["what"] == "Row of … in 7 ms, reference 0a1b2c3d"
    assert error["error"] == ["KeyError"]
    assert "Bridie" not in log.read_text(encoding="utf-8")


def test_a_command_that_fails_inside_says_a_number_and_keeps_no_data(tmp_path: Path) -> None:
    script = (
        "import sys; from keelmark.cli import main; from keelmark import service;"
        "service.Squad.imports = lambda self: {}['Aled']; sys.argv = ['keelmark', 'imports']; main()"
    )
    place = tmp_path / "keelmark.log"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False,
        env={"PATH": "", "KEELMARK_DB": str(tmp_path / "squad.db"), "KEELMARK_LOG": str(place), "HOME": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
    number = str(_lines(place)[0]["what"])[-8:]
    assert f"reference {number}" in done.stderr
    assert "Aled" not in place.read_text(encoding="utf-8") + done.stderr


def test_bringing_files_on_the_command_line_logs_nobody(tmp_path: Path) -> None:
    files = {
        "log.csv": LOG,
        "roster.csv": ROSTER,
        "check_ins.csv": CHECK_INS,
        "bad.csv": LOG.replace("4,6,80", "nan,x,1e999"),
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    place = tmp_path / "keelmark.log"
    around = {"PATH": "", "KEELMARK_DB": str(tmp_path / "squad.db"), "KEELMARK_LOG": str(place), "HOME": str(tmp_path)}
    for words in (["ingest", "log.csv"], ["roster", "roster.csv"], ["ingest", "bad.csv"], ["days", "log.csv"]):
        done = subprocess.run(
            [sys.executable, "-m", "keelmark", *words], capture_output=True, text=True, check=False, cwd=tmp_path,
            env=around,
        )  # fmt: skip
        assert done.returncode in (0, 1, 2), done.stderr
        assert "Traceback" not in done.stderr
    assert not place.exists()
