"""A squad as one person may use it: what each role may ask for, of whom, and what is noted when health data is read.

The pages are handed this in place of the squad itself as soon as there are accounts. What is not in the table is
refused.
"""

from __future__ import annotations

import datetime as dt
import inspect
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from keelmark.contracts.errors import AccessError
from keelmark.service.accounts import Accounts
from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER, Person
from keelmark.service.season import Season

if TYPE_CHECKING:
    from keelmark.service.squad import Squad

__all__ = ["MAY_ASK", "May", "PersonalSquad"]

_STAFF = frozenset({OWNER, COACH})
_LOADS = _STAFF | {PROGRAMMER}
_SIGNED_IN = _LOADS | {ATHLETE}
_ALL = _SIGNED_IN | {GUEST}


@dataclass(frozen=True, slots=True)
class May:
    """Who may ask for something.

    `whose` is the parameter that names the athlete or athletes: bound persons may name themselves only, and are meant
    where it is left out. `health` is what a look at it is called in the athlete's list, for health data.
    """

    roles: frozenset[str]
    whose: str | None = None
    health: str | None = None


MAY_ASK: dict[str, May] = {
    "catalogue": May(_ALL),
    "season": May(_ALL),
    "stands": May(_ALL),
    "figures_made": May(_ALL),
    "settings": May(_ALL),
    "setting_changes": May(_STAFF),
    "place": May(_STAFF),
    "check_setting": May(_STAFF),
    "set_setting": May(_STAFF),
    "own_movements": May(_LOADS),
    "change_own_movements": May(_STAFF),
    # what comes in
    "import_log": May(_STAFF),
    "import_roster": May(_STAFF),
    "import_days": May(_STAFF),
    "import_labels": May(_STAFF),
    "import_whiteboards": May(_STAFF),
    "import_check_ins": May(_STAFF),
    "import_events": May(_LOADS),
    "look_at_text": May(_LOADS),
    "look_at_evening": May(_STAFF),
    "save_evening": May(_STAFF),
    "whiteboards_may_have_changed": May(_STAFF),
    "changed_whiteboards": May(_STAFF),
    "read_whiteboards_again": May(_STAFF),
    "preview_log": May(_STAFF),
    "preview_again": May(_STAFF),
    "club_names": May(_LOADS),
    "learn_names": May(_STAFF),
    "accept": May(_STAFF),
    "imports": May(_LOADS),
    "import_rows": May(_STAFF),
    "original": May(_STAFF),
    "undo": May(_STAFF),
    "redo": May(_STAFF),
    "set_day_states": May(_STAFF),
    "set_day_state": May(_STAFF | {ATHLETE}, whose="athlete_ids"),
    "set_label": May(_LOADS),
    # what follows from it
    "audit": May(_STAFF),
    "kept_audit": May(_ALL),
    "plan": May(_LOADS),
    "ahead": May(_LOADS),
    "decisions": May(_LOADS),
    "record_decision": May(_STAFF),
    "replay": May(_STAFF),
    "usefulness": May(_LOADS),
    "looks": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "readers": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    # what people say about their bodies
    "check_in": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "withdraw_check_in": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "check_ins": May(_STAFF | {ATHLETE, GUEST}, whose="athlete_id", health="answers about the body"),
    "timeline": May(_STAFF | {ATHLETE, GUEST}, whose="athlete_id", health="complaints over time"),
    "decide_on_complaint": May(_STAFF),
    "complaint_decisions": May(
        _STAFF | {ATHLETE, GUEST}, whose="athlete_id", health="what was decided about complaints"
    ),
    "replay_complaint": May(_STAFF),
    "association": May(_STAFF),
    "return_plan": May(_STAFF | {ATHLETE}, whose="athlete_id", health="the plan after a gap"),
    "save_return_plan": May(_STAFF),
    # what is told to others, and people's own rights
    "coach_brief": May(_STAFF),
    "athlete_brief": May(_SIGNED_IN, whose="athlete_id"),
    "quiet_messages": May(_STAFF),
    "hand_over": May(_STAFF | {ATHLETE}, whose="athlete_id", health="a page for a physiotherapist or doctor"),
    "keep_return_slip": May(_STAFF),
    "standing_limits": May(_STAFF | {ATHLETE}, whose="athlete_id", health="what is agreed for training"),
    "consents": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "withdraw_consent": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "agreements": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "agree": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "say_no": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "guardian": May(_STAFF | {ATHLETE}, whose="athlete_id"),
    "note_guardian": May(_STAFF),
    "past_its_time": May(frozenset({OWNER})),
    "remove_past": May(frozenset({OWNER})),
    "athlete_archive": May(_STAFF | {ATHLETE}, whose="athlete_id", health="everything, to take away"),
    "erase_athlete": May(frozenset({OWNER, ATHLETE}), whose="athlete_id"),
}
"""Every public name of `Squad` with who may use it; a name that is missing here is refused to everybody."""


class PersonalSquad:
    """An open squad, as one person may use it. It has the names of `Squad` that the person's role may use."""

    def __init__(self, squad: Squad, person: Person, accounts: Accounts) -> None:
        self._squad = squad
        self._accounts = accounts
        self.person = person

    def season(self, *more: Any) -> Season:
        """The season as of the last write: of the whole squad, or of the one athlete that the person is bound to."""
        self._rule("season")
        whole = self._squad.season(*more)
        if self.person.athlete_id is None:
            return whole
        return whole.of(self.person.athlete_id)

    def set_setting(self, key: str, value: object) -> None:
        """Choose a setting in this person's name."""
        self._rule("set_setting")
        self._squad.set_setting(key, value, who=self.person.name)

    def change_own_movements(self, name: str, text: str | None) -> None:
        """Keep or drop a movement file in this person's name."""
        self._rule("change_own_movements")
        self._squad.change_own_movements(name, text, who=self.person.name)

    def agree(self, athlete_id: str, purpose: str, *, given_by: str, given_on: dt.date | None = None) -> str:
        """Record a yes; somebody who is bound to an athlete gives it in that athlete's name, and not under age."""
        ask = self._guarded("agree", self._squad.agree, self._rule("agree"))
        if self.person.athlete_id is not None and self._squad.guardian(self.person.athlete_id):
            raise _refused("a yes of somebody under age")
        key: str = ask(athlete_id, purpose, given_by=self._own_name() or given_by, given_on=given_on)
        return key

    def say_no(self, athlete_id: str, purpose: str, *, given_by: str) -> None:
        """Record a no; somebody who is bound to an athlete gives it in that athlete's name."""
        ask = self._guarded("say_no", self._squad.say_no, self._rule("say_no"))
        ask(athlete_id, purpose, given_by=self._own_name() or given_by)

    def _own_name(self) -> str:
        """First name of the athlete whom this person is bound to; empty for everybody else."""
        return "" if self.person.athlete_id is None else str(self.season().athletes["name"][0])

    def __getattr__(self, name: str) -> Any:
        may = self._rule(name)
        held = getattr(self._squad, name)
        return self._guarded(name, held, may) if inspect.ismethod(held) else held

    def _rule(self, name: str) -> May:
        may = MAY_ASK.get(name)
        if may is None or self.person.role not in may.roles or (may.health and not self.person.reads_health):
            raise _refused(name.replace("_", " "))
        return may

    def _guarded(self, name: str, ask: Callable[..., Any], may: May) -> Callable[..., Any]:
        def asked(*given: Any, **named: Any) -> Any:
            whose: list[str] | None = None
            if may.whose is not None:
                bound = inspect.signature(ask).bind(*given, **named)
                bound.apply_defaults()
                if bound.arguments[may.whose] is None and self.person.athlete_id is not None:
                    bound.arguments[may.whose] = self.person.athlete_id
                whose = self._own(name, bound.arguments, may.whose)
                given, named = bound.args, bound.kwargs
            answer = self._own_rows(ask(*given, **named))
            if may.health:
                self._note(may.health, whose, answer)
            return answer

        return asked

    def _own(self, name: str, arguments: dict[str, Any], whose: str) -> list[str] | None:
        value = arguments[whose]
        if isinstance(value, Iterable) and not isinstance(value, str):
            value = arguments[whose] = list(value)
        named = value if isinstance(value, list) else [value]
        if not all(self.person.concerns(one) for one in named):
            raise _refused(f"{name.replace('_', ' ')} of somebody else")
        return None if value is None else named

    def _own_rows(self, answer: Any) -> Any:
        if self.person.athlete_id is None or not isinstance(answer, pl.DataFrame) or "athlete_id" not in answer.columns:
            return answer
        return answer.filter(pl.col("athlete_id") == self.person.athlete_id)

    def _note(self, what: str, whose: list[str] | None, answer: Any) -> None:
        if whose is None and isinstance(answer, pl.DataFrame) and "athlete_id" in answer.columns:
            whose = answer["athlete_id"].unique().to_list()
        self._accounts.note_look(self.person, whose or [], what)


def _refused(what: str) -> AccessError:
    return AccessError(
        f"{what}: not open to you",
        where="access",
        wanted="an account that may ask for this",
        remedy="ask the owner of this squad if you need it",
    )
