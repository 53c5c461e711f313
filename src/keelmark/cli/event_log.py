"""The log of what went wrong or took long: one JSON object a line, and nothing personal in it.

A record keeps its time, level, logger, the words that stand in the code, figures and reference numbers, and of an error
its kind and the places in the code. Names, ids, answers, cells and addresses cannot get in: no text that was filled in
at run time is kept, nor what an error says, nor the words of other libraries.
"""

from __future__ import annotations

import json
import logging
import os
import re
import traceback
from datetime import UTC, datetime
from logging.handlers import RotatingFileHandler, SysLogHandler
from pathlib import Path
from typing import Any

import platformdirs

from keelmark.contracts.errors import SettingError

__all__ = ["LOG_TO_VARIABLE", "LOG_VARIABLE", "WithoutPeople", "begin_log"]

LOG_VARIABLE = "KEELMARK_LOG"
LOG_TO_VARIABLE = "KEELMARK_LOG_TO"
"""Names the socket of the machine's log service, which can send the log to another machine."""
_OURS = ("keelmark", "keelmark_dash")
_LARGEST, _KEPT = 1_000_000, 4
_REFERENCE = re.compile(r"[0-9a-f]{8}")
_CALLBACK = re.compile(r"[a-z_.]+:[a-z_]+")
_FIGURES = ("ms", "status")
_PLACES = 12


class WithoutPeople(logging.Formatter):
    """Writes a record as one line of JSON that names code and figures, never people."""

    def format(self, record: logging.LogRecord) -> str:
        """One line of JSON."""
        told: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "from": record.name,
        }
        if record.name.partition(".")[0] in _OURS and isinstance(record.msg, str):
            told["what"] = _filled(record.msg, record.args)
        for name in _FIGURES:
            if isinstance(value := getattr(record, name, None), (int, float)):
                told[name] = value
        if _CALLBACK.fullmatch(callback := str(getattr(record, "callback", ""))):
            told["callback"] = callback
        if record.exc_info and record.exc_info[1] is not None:
            told |= _error(record.exc_info[1])
        return json.dumps(told)


def begin_log(file: Path | None = None) -> Path:
    """Keep all warnings, errors and slow answers from now on; calling it again changes nothing.

    Parameters
    ----------
    file : path, optional
        Where; else KEELMARK_LOG; else the platform's folder for logs. At most five files of 1 MB are kept, which only
        their owner can read.

    Returns
    -------
    Path
        The file. Where it cannot be written, the log goes to the terminal.
    """
    place = file or Path(os.environ.get(LOG_VARIABLE) or platformdirs.user_log_path("keelmark") / "keelmark.log")
    root = logging.getLogger()
    if any(isinstance(handler.formatter, WithoutPeople) for handler in root.handlers):
        return place
    handler: logging.Handler
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.touch(mode=0o600)
        handler = RotatingFileHandler(place, maxBytes=_LARGEST, backupCount=_KEPT, encoding="utf-8")
    except OSError:
        handler = logging.StreamHandler()
    _keep(root, handler)
    for service in _elsewhere():
        _keep(root, service)
    return place


def _keep(root: logging.Logger, handler: logging.Handler) -> None:
    handler.setFormatter(WithoutPeople())
    handler.setLevel(logging.WARNING)
    root.addHandler(handler)


def _elsewhere() -> list[logging.Handler]:
    """The log service of this machine, where one is named: it keeps the lines under an account of its own."""
    address = os.environ.get(LOG_TO_VARIABLE)
    if not address:
        return []
    if not Path(address).is_socket():
        raise SettingError(
            "there is no log service at that place",
            where=LOG_TO_VARIABLE,
            wanted="the socket of a log service, such as /dev/log",
            remedy="start the service or name its socket; leave the variable out to keep the log in a file alone",
        )
    service = SysLogHandler(address)
    service.ident = "keelmark: "
    return [service]


def _filled(words: str, values: Any) -> str:
    """The words with figures and reference numbers filled in; any other text becomes a mark."""
    if not values:
        return words
    given = tuple(_kept(value) for value in values) if isinstance(values, tuple) else ()
    try:
        return words % given
    except (TypeError, ValueError):
        return words


def _kept(value: object) -> object:
    if isinstance(value, (int, float)):
        return value
    return value if isinstance(value, str) and _REFERENCE.fullmatch(value) else "…"


def _error(error: BaseException) -> dict[str, Any]:
    frames = traceback.extract_tb(error.__traceback__)[-_PLACES:]
    places = [f"{'/'.join(Path(frame.filename).parts[-2:])}:{frame.lineno} {frame.name}" for frame in frames]
    kinds = [type(error).__name__]
    while (error.__cause__ or error.__context__) is not None and len(kinds) < 5:
        error = error.__cause__ or error.__context__  # type: ignore[assignment]
        kinds.append(type(error).__name__)
    return {"error": kinds, "places": places}
