"""Long work beside the pages: done on threads of the server, told about step by step, and stopped when asked to.

Nothing of it is written to disk: what comes of a job stays in memory for a while, until work of the same kind is begun
again, and is handed to nobody but the person who began it.
"""

from __future__ import annotations

import contextvars
import logging
import secrets
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

from keelmark.contracts.errors import AccessError, KeelmarkError, RefusedInput
from keelmark.service.person import Person

__all__ = ["Job", "Jobs", "StoppedError", "Tell"]

AT_ONCE, A_PERSON, KEPT_S = 2, 3, 900.0
WAITING, RUNNING, DONE, STOPPED, REFUSED, FAILED = "waiting", "running", "done", "stopped", "refused", "failed"
_log = logging.getLogger(__name__)


class StoppedError(Exception):
    """Raised inside the work at its next step after somebody asked to stop it."""


@dataclass
class Job:
    """One piece of long work.

    `share` is None while nobody knows how much is done; `answer` holds what came of it, `error` why it was refused.
    """

    key: str
    what: str
    owner: str
    about: str = ""
    said: str = "Waiting for its turn …"
    share: float | None = None
    state: str = WAITING
    answer: Any = None
    error: KeelmarkError | None = None
    ended: float | None = None

    kept: bool = False
    """Whether what it does is done for good, so that it can be stopped no more."""

    @property
    def over(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state not in (WAITING, RUNNING)


class Tell:
    """Handed to work: says what is being done, and which share of the whole is done where that is known."""

    def __init__(self, job: Job, lock: threading.Lock) -> None:
        self._job = job
        self._lock = lock

    def __call__(self, said: str, share: float | None = None) -> None:
        """The next step.

        Raises
        ------
        StoppedError
            When somebody has asked to stop.
        """
        with self._lock:
            self._unless_stopped()
            self._job.said, self._job.share, self._job.state = said, share, RUNNING

    def keep(self) -> None:
        """From here on what is done stays done: the work can be stopped no more.

        Raises
        ------
        StoppedError
            When somebody has asked to stop before.
        """
        with self._lock:
            self._unless_stopped()
            self._job.kept = True

    def _unless_stopped(self) -> None:
        if self._job.over:
            raise StoppedError


class Jobs:
    """The long work of a server's visitors."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._jobs: dict[str, Job] = {}
        self._lock = threading.Lock()
        self._threads = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="keelmark-job")
        self._clock = clock

    def begin(self, person: Person, what: str, work: Callable[[Tell], Any], about: str | None = "") -> Job:
        """Begin some work in the name of whoever asks; where the same work of theirs still runs, that one goes on.

        Work of the same kind about something else takes the place of theirs that still runs; `about` None always does.

        Parameters
        ----------
        person : Person
            Who asks. What comes of it is theirs alone.
        what : str
            Which of the pages' kinds of work it is.
        work : function
            Does it; is handed a function to tell how far it is. It is stopped between two steps that it tells of.
        about : str or None
            What it is about, such as the key of an athlete.

        Raises
        ------
        RefusedInput
            When too much of theirs is under way.
        """
        with self._lock:
            self._forget(_owner(person), what)
            own = [job for job in self._jobs.values() if job.owner == _owner(person) and not job.over]
            same = next((job for job in own if job.what == what), None)
            if same is not None and same.about == about:
                return same
            if same is not None and not same.kept:
                self._end(same, STOPPED)
            elif same is None and len(own) >= A_PERSON:
                raise RefusedInput(
                    f"{len(own)} long pieces of work are under way",
                    where="long work",
                    wanted=f"at most {A_PERSON} at once",
                    remedy="wait for one of them, or stop one",
                )
            job = Job(secrets.token_urlsafe(16), what, _owner(person), about or "")
            self._jobs[job.key] = job
        self._threads.submit(contextvars.copy_context().run, self._do, job, work)
        return job

    def of(self, person: Person, key: str) -> Job:
        """A job of somebody's own.

        Raises
        ------
        AccessError
            When there is none of that key, or it is somebody else's; the two are not told apart.
        """
        with self._lock:
            self._forget()
            job = self._jobs.get(key)
        if job is None or job.owner != _owner(person):
            raise AccessError(
                "this work is no longer there",
                where="long work",
                wanted="work that you began, not long ago",
                remedy="begin it again",
            )
        return job

    def running(self, person: Person, what: str, about: str = "") -> Job | None:
        """Somebody's work of one kind that is still under way, so that a page opened anew goes on telling of it."""
        with self._lock:
            own = [job for job in self._jobs.values() if job.owner == _owner(person) and job.what == what]
        return next((job for job in own if not job.over and job.about == about), None)

    def stop(self, person: Person, key: str) -> bool:
        """Have a job stopped; whatever still comes of it is dropped. False when what it does is done for good."""
        job = self.of(person, key)
        with self._lock:
            if job.kept:
                return False
            if not job.over:
                self._end(job, STOPPED)
            return True

    def _do(self, job: Job, work: Callable[[Tell], Any]) -> None:
        tell = Tell(job, self._lock)
        try:
            tell("Beginning …")
            answer = work(tell)
        except StoppedError:
            return
        except KeelmarkError as error:
            self._settle(job, REFUSED, error=error)
        except Exception as error:
            _log.error("Long work failed", exc_info=error)
            self._settle(job, FAILED)
        else:
            self._settle(job, DONE, answer)

    def _settle(self, job: Job, state: str, answer: Any = None, error: KeelmarkError | None = None) -> None:
        with self._lock:
            if not job.over:
                job.answer, job.error, job.share = answer, error, 1.0
                self._end(job, state)

    def _end(self, job: Job, state: str) -> None:
        job.state, job.ended = state, self._clock()

    def _forget(self, owner: str = "", what: str = "") -> None:
        """Let go of what has been over for long, and of what somebody begins again."""
        now = self._clock()
        over = [(job, job.ended) for job in self._jobs.values() if job.ended is not None]
        for job, ended in over:
            if now - ended > KEPT_S or (job.owner, job.what) == (owner, what):
                del self._jobs[job.key]


def _owner(person: Person) -> str:
    return f"{person.key}|{person.athlete_id}"
