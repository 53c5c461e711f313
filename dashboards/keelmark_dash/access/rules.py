"""The table of everything that can be asked of the pages: each address, page and callback, and who may ask it.

What is not in the table is refused to everybody who has signed in. A callback is named by the file and function that
answers it, such as `pages.log:_undo`. Beyond the role, one rule holds everywhere: somebody who is bound to an athlete
may name no other athlete, wherever in a question the name stands.
"""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.service.person import ATHLETE, COACH, GUEST, OWNER, PROGRAMMER

__all__ = ["ANYBODY", "CALLBACKS", "ENDPOINTS", "PAGES", "Rule"]

ANYBODY = "anybody"
"""Stands for people who have not signed in."""


@dataclass(frozen=True, slots=True)
class Rule:
    """Who may ask; guests also need one of `fields`, when some are named."""

    roles: frozenset[str]
    fields: frozenset[str] = frozenset()

    def admits(self, role: str, fields: frozenset[str] = frozenset()) -> bool:
        """Whether a role, with a guest's fields, may ask this."""
        return role in self.roles and (role != GUEST or not self.fields or bool(self.fields & fields))


_STAFF = frozenset({OWNER, COACH})
_LOADS = _STAFF | {PROGRAMMER}
_OWN = _STAFF | {ATHLETE}
_SIGNED_IN = _LOADS | {ATHLETE, GUEST}
_OPEN = _SIGNED_IN | {ANYBODY}

ENDPOINTS: dict[str, Rule] = {
    "static": Rule(_OPEN),
    "_dash_assets.static": Rule(_OPEN),
    "/_dash-component-suites/<string:package_name>/<path:fingerprinted_path>": Rule(_OPEN),
    "/_favicon.ico": Rule(_OPEN),
    "/_reload-hash": Rule(_SIGNED_IN),
    "/_dash-layout": Rule(_SIGNED_IN),
    "/_dash-dependencies": Rule(_SIGNED_IN),
    "/_dash-update-component": Rule(_SIGNED_IN),
    "/": Rule(_SIGNED_IN),
    "/<path:path>": Rule(_SIGNED_IN),
    "health": Rule(_OPEN),
    "sign_in": Rule(_OPEN),
    "sign_in_step": Rule(_OPEN),
    "guest_link": Rule(_OPEN),
    "sign_out": Rule(_SIGNED_IN),
    "account": Rule(_LOADS | {ATHLETE}),
    "accounts": Rule(frozenset({OWNER})),
}
"""By Flask's own name of the endpoint. Pages and callbacks are looked up below as well."""

PAGES: dict[str, Rule] = {
    "/": Rule(_LOADS),
    "/athlete": Rule(_SIGNED_IN, frozenset({"load"})),
    "/programme": Rule(_LOADS),
    "/log": Rule(_STAFF),
    "/check-ins": Rule(_OWN | {GUEST}, frozenset({"complaints"})),
    "/hand-over": Rule(_OWN),
    "/brief": Rule(_LOADS | {ATHLETE}),
    "/methods": Rule(_SIGNED_IN),
    "/settings": Rule(_STAFF),
    "/care": Rule(_OPEN),
}

CALLBACKS: dict[str, Rule] = {
    "app:_show": Rule(_SIGNED_IN),
    "parts.take_away:_take": Rule(_SIGNED_IN),
    "parts.take_away:_draw": Rule(_SIGNED_IN),
    "parts.progress:_look": Rule(_SIGNED_IN),
    "parts.progress:_stop": Rule(_SIGNED_IN),
    "parts.plan_take:_take_plan": Rule(_LOADS),
    "parts.agreed:_agree": Rule(_OWN),
    "parts.agreed:_say_no": Rule(_OWN),
    "parts.agreed:_guardian": Rule(_STAFF),
    "parts.rights:_archive": Rule(_OWN),
    "parts.rights:_erase": Rule(frozenset({OWNER, ATHLETE})),
    "pages.hand_over:_paper": Rule(_OWN),
    "pages.hand_over_slip:_keep": Rule(_STAFF),
    "pages.hand_over_slip:_withdraw": Rule(_OWN),
    "pages.brief:_save": Rule(_LOADS | {ATHLETE}),
    "pages.brief:_everybody_saved": Rule(_STAFF),
    "pages.squad:_answer": Rule(_STAFF),
    "pages.squad:_decide": Rule(_STAFF),
    "parts.still_stands:_fill": Rule(_STAFF),
    "parts.still_stands:_again": Rule(_STAFF),
    "pages.athlete:_draw": Rule(_SIGNED_IN, frozenset({"load"})),
    "parts.return_plan:_save": Rule(_STAFF),
    "parts.beside_mark:_reckon": Rule(_SIGNED_IN, frozenset({"load"})),
    "parts.mechanics_week:_widen": Rule(_SIGNED_IN, frozenset({"load"})),
    "pages.programme_week:_example": Rule(_LOADS),
    "pages.programme_week:_follow": Rule(_LOADS),
    "pages.programme_week:_rounds": Rule(_LOADS),
    "pages.programme_week:_balance": Rule(_LOADS),
    "pages.programme_week:_calendar": Rule(_LOADS),
    "pages.programme_squad:_squad": Rule(_LOADS),
    "pages.programme_squad:_own_days": Rule(_LOADS),
    "pages.programme_squad:_what_if": Rule(_LOADS),
    "pages.programme_mend:_mend": Rule(_LOADS),
    "pages.programme_mend:_even": Rule(_LOADS),
    "pages.programme_mend:_apply": Rule(_LOADS),
    "pages.programme_limits:_limits": Rule(_LOADS),
    "pages.programme_limits:_agree": Rule(_LOADS),
    "pages.programme_limits:_drop_limit": Rule(_LOADS),
    "pages.programme_versions:_look": Rule(_LOADS),
    "pages.programme_versions:_offer": Rule(_LOADS),
    "pages.programme_versions:_explain": Rule(_LOADS),
    "pages.programme_ahead:_usual": Rule(_LOADS),
    "pages.programme_ahead:_ahead": Rule(_LOADS),
    "pages.programme_ahead:_keep": Rule(_LOADS),
    "pages.programme_ahead:_keep_week": Rule(_LOADS),
    "pages.programme_ahead:_drop_ramp": Rule(_LOADS),
    "pages.programme_ahead:_out": Rule(_LOADS),
    "pages.programme_ahead:_events": Rule(_LOADS),
    "pages.log_whiteboard:_read": Rule(_STAFF),
    "pages.log_whiteboard:_group": Rule(_STAFF),
    "pages.log_whiteboard:_save": Rule(_STAFF),
    "pages.log_whiteboard:_undo": Rule(_STAFF),
    "pages.log_whiteboard:_own": Rule(_STAFF),
    "pages.log_days:_choose": Rule(_STAFF),
    "pages.log_days:_save": Rule(_STAFF),
    "pages.log_days:_save_calendar": Rule(_STAFF),
    "pages.log_file:_accept": Rule(_STAFF),
    "pages.log_file:_learn": Rule(_STAFF),
    "pages.log_file:_leave": Rule(_STAFF),
    "pages.log_file:_read": Rule(_STAFF),
    "pages.log_file:_undo": Rule(_STAFF),
    "pages.log_people:_bring": Rule(_STAFF),
    "pages.log_people:_add": Rule(_STAFF),
    "pages.log_whiteboard_rereading:_again": Rule(_STAFF),
    "pages.log_whiteboard_rereading:_look": Rule(_STAFF),
    "parts.name_week:_name": Rule(_LOADS),
    "pages.settings:_save": Rule(_STAFF),
    "pages.settings:_name": Rule(_STAFF),
    "pages.settings:_unname": Rule(_STAFF),
    "pages.settings:_bring": Rule(_STAFF),
    "pages.settings:_drop": Rule(_STAFF),
    "parts.complaints:_decide": Rule(_STAFF),
    "pages.check_ins:_ask": Rule(_STAFF),
    "pages.check_ins:_keep": Rule(_OWN),
    "pages.check_ins:_take_back": Rule(_OWN),
    "parts.mechanics_methods:_pose": Rule(_SIGNED_IN),
    "parts.audit_panel:_audit": Rule(_STAFF),
    "pages.methods:_rows": Rule(_SIGNED_IN),
}
