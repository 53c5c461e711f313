"""A disk that fails on demand, between SQLite and the operating system.

SQLite reaches the system through a table of calls, and lets a program put others in their place for exactly this use
(`xSetSystemCall`, https://sqlite.org/c3ref/vfs.html). The calls here do what they should until a chosen one, which
fails as a real disk does, and so do all that follow until the shim is taken away. Everything above, SQLite itself
included, is what people run.
"""

from __future__ import annotations

import _sqlite3
import ctypes
import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

__all__ = ["FAULTS", "Disk", "failing_disk"]

_POINTERS_BEFORE_SET = 13
_SET = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p)
_READ_OR_WRITE = ctypes.CFUNCTYPE(ctypes.c_ssize_t, ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t, use_errno=True)
_AT_PLACE = ctypes.CFUNCTYPE(
    ctypes.c_ssize_t, ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t, ctypes.c_int64, use_errno=True
)
_OPEN = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_int, use_errno=True)
_TRUNCATE = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_int, ctypes.c_int64, use_errno=True)
FAULTS = ("full", "broken", "read-only", "unreadable")


class _Vfs(ctypes.Structure):
    _fields_ = [
        ("iVersion", ctypes.c_int), ("szOsFile", ctypes.c_int), ("mxPathname", ctypes.c_int),
        ("pNext", ctypes.c_void_p), ("zName", ctypes.c_char_p), ("pAppData", ctypes.c_void_p),
        *((f"call{place}", ctypes.c_void_p) for place in range(_POINTERS_BEFORE_SET)),
        ("xSetSystemCall", _SET),
    ]  # fmt: skip


@dataclass
class Disk:
    """A disk: calls that count seen so far, and how many went wrong. It fails from call `at` on (from 1; 0 never)."""

    fault: str
    at: int = 0
    seen: int = 0
    failed: int = 0
    kept: list[object] = field(default_factory=list)

    def refuses(self) -> bool:
        """Count one call; whether it fails."""
        self.seen += 1
        if self.at and self.seen >= self.at:
            self.failed += 1
            return True
        return False


@contextmanager
def failing_disk(fault: str, at: int = 0) -> Iterator[Disk]:
    """Let SQLite's disk fail from the given call on; without a call the calls are only counted.

    Parameters
    ----------
    fault : str
        One of FAULTS: no room (half of a write lands), writes that fail, files that open for reading only, reads that
        fail.
    at : int
        The number of the first call that fails, from 1.
    """
    disk = Disk(fault, at)
    vfs = _default_vfs()
    calls = _calls(disk)
    disk.kept = list(calls.values())  # as long as SQLite may call them
    for name, call in calls.items():
        vfs.contents.xSetSystemCall(vfs, name.encode(), ctypes.cast(call, ctypes.c_void_p))
    try:
        yield disk
    finally:
        for name in calls:
            vfs.contents.xSetSystemCall(vfs, name.encode(), None)


def _default_vfs() -> ctypes._Pointer[_Vfs]:
    library = ctypes.CDLL(_sqlite3.__file__)
    find = library.sqlite3_vfs_find
    find.restype = ctypes.POINTER(_Vfs)
    return find(None)


def _calls(disk: Disk) -> dict[str, object]:
    if disk.fault == "read-only":
        return {"open": _OPEN(_opening(disk))}
    if disk.fault == "unreadable":
        return {"read": _READ_OR_WRITE(_failing(disk, "read")), "pread": _AT_PLACE(_failing(disk, "pread")),
                "pread64": _AT_PLACE(_failing(disk, "pread64"))}  # fmt: skip
    return {
        "write": _READ_OR_WRITE(_failing(disk, "write")), "pwrite": _AT_PLACE(_failing(disk, "pwrite")),
        "pwrite64": _AT_PLACE(_failing(disk, "pwrite64")), "ftruncate": _TRUNCATE(_failing(disk, "ftruncate")),
    }  # fmt: skip


def _real(name: str, *kinds: type) -> Callable[..., int]:
    call = getattr(ctypes.CDLL(None, use_errno=True), name)
    call.restype = ctypes.c_int if name in ("open", "ftruncate") else ctypes.c_ssize_t
    call.argtypes = kinds
    return call  # type: ignore[no-any-return]


def _failing(disk: Disk, name: str) -> Callable[..., int]:
    kinds: tuple[type, ...] = (ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t)
    kinds = (ctypes.c_int, ctypes.c_int64) if name == "ftruncate" else kinds
    real = _real(name, *(kinds if "p" not in name[:1] else (*kinds, ctypes.c_int64)))

    def call(*given: int) -> int:
        if not disk.refuses():
            return real(*given)
        if disk.fault == "full" and name != "ftruncate":
            real(given[0], given[1], given[2] // 2, *given[3:])  # half of it lands
        ctypes.set_errno(errno.ENOSPC if disk.fault == "full" else errno.EIO)
        return -1

    return call


def _opening(disk: Disk) -> Callable[..., int]:
    real = _real("open", ctypes.c_char_p, ctypes.c_int, ctypes.c_int)

    def call(path: bytes, flags: int, mode: int) -> int:
        if flags & (os.O_RDWR | os.O_WRONLY | os.O_CREAT) and disk.refuses():
            ctypes.set_errno(errno.EROFS)
            return -1
        return real(path, flags, mode)

    return call
