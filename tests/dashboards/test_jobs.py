"""Long work is told about while it runs, stops when asked to, and is handed to nobody but whoever began it."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest

from keelmark.contracts.errors import AccessError, RefusedInput
from keelmark.service.person import EVERYBODY_HERE, Person
from keelmark_dash.jobs import A_PERSON, KEPT_S, Job, Jobs, Tell

ADA = Person("Ada", "athlete", "ada", key="account:2")
BRAM = Person("Bram", "athlete", "bram", key="account:3")
GUEST = Person("Dr Penrose", "guest", "ada", key="link:2")


class Now:
    """A clock that stands still until it is put on."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


@pytest.fixture
def now() -> Now:
    return Now()


@pytest.fixture
def jobs(now: Now) -> Jobs:
    return Jobs(now)


@pytest.fixture
def gate() -> Iterator[threading.Event]:
    """Holds work up until it is opened."""
    event = threading.Event()
    yield event
    event.set()


def over(jobs: Jobs, person: Person, key: str) -> Job:
    """The job once it is over."""
    ended = threading.Event()
    for _ in range(500):
        if jobs.of(person, key).over:
            return jobs.of(person, key)
        ended.wait(0.01)
    raise AssertionError("it never ends")


def test_what_comes_of_work_stays_until_the_same_is_begun_again(jobs: Jobs) -> None:
    key = jobs.begin(ADA, "audit", lambda tell: "found").key
    assert over(jobs, ADA, key).answer == "found"
    assert jobs.of(ADA, key).state == "done"
    jobs.begin(ADA, "papers", lambda tell: None)
    assert jobs.of(ADA, key).answer == "found"
    jobs.begin(ADA, "audit", lambda tell: "found again")
    with pytest.raises(AccessError, match="no longer there"):
        jobs.of(ADA, key)


@pytest.mark.parametrize("other", [BRAM, GUEST, EVERYBODY_HERE])
def test_nobody_else_reads_or_stops_it(jobs: Jobs, other: Person) -> None:
    key = jobs.begin(ADA, "audit", lambda tell: "Ada's own").key
    over(jobs, ADA, key)
    for ask in (jobs.of, jobs.stop):
        with pytest.raises(AccessError, match="no longer there"):
            ask(other, key)
    assert jobs.of(ADA, key).answer == "Ada's own"


def test_it_says_how_far_it_is(jobs: Jobs, gate: threading.Event) -> None:
    told = threading.Event()

    def work(tell: Tell) -> None:
        tell("Half of it", 0.5)
        told.set()
        gate.wait(5)

    key = jobs.begin(ADA, "audit", work).key
    assert told.wait(5)
    job = jobs.of(ADA, key)
    assert (job.said, job.share, job.over) == ("Half of it", 0.5, False)
    assert jobs.running(ADA, "audit") is job
    assert jobs.running(BRAM, "audit") is None


def test_it_stops_at_its_next_step(jobs: Jobs, gate: threading.Event) -> None:
    steps, ended = [], threading.Event()

    def work(tell: Tell) -> str:
        try:
            gate.wait(5)
            tell("The next step", None)
            steps.append("done after all")
        finally:
            ended.set()
        return "too late"

    key = jobs.begin(ADA, "audit", work).key
    jobs.stop(ADA, key)
    gate.set()
    assert ended.wait(5)
    job = jobs.of(ADA, key)
    assert (job.state, job.answer, steps) == ("stopped", None, [])


def test_a_refusal_and_a_fault_are_kept_apart(jobs: Jobs) -> None:
    def refused(tell: Tell) -> None:
        raise RefusedInput("nothing to look at", where="audit", wanted="weeks", remedy="log some")

    def broken(tell: Tell) -> None:
        raise ZeroDivisionError

    one = over(jobs, ADA, jobs.begin(ADA, "audit", refused).key)
    assert one.state == "refused"
    assert one.error is not None
    assert one.error.found == "nothing to look at"
    assert over(jobs, ADA, jobs.begin(ADA, "audit", broken).key).state == "failed"


def test_the_same_work_goes_on_and_too_much_is_refused(jobs: Jobs, gate: threading.Event) -> None:
    def wait(tell: Tell) -> None:
        gate.wait(5)

    kept = [jobs.begin(ADA, f"work {number}", wait) for number in range(A_PERSON)]
    assert jobs.begin(ADA, "work 0", wait) is kept[0]
    with pytest.raises(RefusedInput, match="are under way"):
        jobs.begin(ADA, "one more", wait)
    assert jobs.begin(BRAM, "one more", wait).said == "Waiting for its turn …"


def test_what_nobody_takes_is_forgotten(jobs: Jobs, now: Now) -> None:
    key = jobs.begin(ADA, "audit", lambda tell: "found").key
    over(jobs, ADA, key)
    now.seconds = KEPT_S
    assert jobs.of(ADA, key).answer == "found"
    now.seconds = KEPT_S + 1
    with pytest.raises(AccessError, match="no longer there"):
        jobs.of(ADA, key)


def test_work_that_is_stopped_before_it_is_kept_keeps_nothing_and_afterwards_runs_to_its_end(
    jobs: Jobs, gate: threading.Event
) -> None:
    begun, kept = threading.Event(), []

    def store(tell: Tell) -> str:
        begun.set()
        gate.wait(10)
        tell.keep()
        kept.append("a file")
        return "stored"

    early = jobs.begin(ADA, "store", store)
    assert begun.wait(10)
    assert jobs.stop(ADA, early.key)
    gate.set()
    late = jobs.begin(ADA, "store", store)
    assert over(jobs, ADA, late.key).answer == "stored"
    assert kept == ["a file"]


def test_work_that_is_kept_is_not_stopped_by_anybody(jobs: Jobs, gate: threading.Event) -> None:
    kept = threading.Event()

    def store(tell: Tell) -> str:
        tell.keep()
        kept.set()
        gate.wait(10)
        tell("Adding up …")
        return "stored"

    first = jobs.begin(ADA, "store", store)
    assert kept.wait(10)
    assert not jobs.stop(ADA, first.key)
    jobs.begin(ADA, "store", lambda tell: "another", about="another file")
    gate.set()
    assert over(jobs, ADA, first.key).answer == "stored"
