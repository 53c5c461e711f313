"""The hull gauge: how much of one kind of work a week held, against the athlete's own two marks.

A hull seen from the bow fills from the keel up. Its rim stands for the largest week or mark of that athlete and
channel, its two ticks are the athlete's marks, and the sign above it says the place without any colour.
"""

from __future__ import annotations

from keelmark_dash.parts.markup import tag, text
from keelmark_dash.readings import Gauge

__all__ = ["PLACE_SIGNS", "definitions", "gauge", "place_sign"]

_RIM, _KEEL = 13.0, 35.6  # heights in the drawing between which the hull fills
_HULL = "M3 13L3.6 23.5C3.9 29 8.5 32 12.2 34.8Q14 36.2 15.8 34.8C19.5 32 24.1 29 24.4 23.5L25 13"
_FIN = "M14 35.6V40"

PLACE_SIGNS: dict[str, str] = {
    "below": "M10.6 2.6H17.4L14 8.4Z",
    "within": "M12 5.5A2 2 0 1 0 16 5.5A2 2 0 1 0 12 5.5Z",
    "above": "M10.2 8.6L14 2L17.8 8.6Z",
    "well_above": "M10.2 10.6L14 5.2L17.8 10.6ZM10.2 4.6L14 -0.8L17.8 4.6Z",
    "not_known": "M11 5.5A3 3 0 1 0 17 5.5A3 3 0 1 0 11 5.5Z",
}


def definitions() -> str:
    """Shapes that all gauges of a page share; stands once in the page."""
    signs = "".join(
        f'<symbol id="sign-{place}" viewBox="4 0 20 11"><path class="sign {place}" d="{path}"/></symbol>'
        for place, path in PLACE_SIGNS.items()
    )
    return (
        '<svg width="0" height="0" aria-hidden="true" focusable="false" class="definitions"><defs>'
        f'<clipPath id="hull-inside"><path d="{_HULL}Z"/></clipPath>'
        '<pattern id="hatch" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<path class="hatch-line" d="M0 0V4"/></pattern>'
        f"</defs>{signs}</svg>"
    )


def gauge(shown: Gauge, *, sign: bool = True) -> str:
    """The drawing of one gauge, without words; whoever places it gives it its accessible name."""
    parts = [_water(shown), f'<path class="hull" d="{_HULL}{_FIN}"/>']
    if shown.value is not None:
        parts += [_tick(mark, shown.rim) for mark in (shown.lower, shown.upper) if mark is not None]
    if sign:
        parts.append(f'<path class="sign {text(shown.place)}" d="{PLACE_SIGNS[shown.place]}"/>')
    view = "0 -1 28 43" if sign else "0 11 28 31"
    return f'<svg class="gauge" viewBox="{view}" aria-hidden="true" focusable="false">{"".join(parts)}</svg>'


def place_sign(place: str) -> str:
    """The sign of a place alone, to stand before its words."""
    sign = f'<path class="sign {text(place)}" d="{PLACE_SIGNS[place]}"/>'
    return tag("svg", sign, _class="place-sign", viewBox="4 0 20 11", aria_hidden="true", focusable="false")


def _height(amount: float, rim: float) -> float:
    share = 0.0 if rim <= 0 else min(max(amount / rim, 0.0), 1.0)
    return round(_KEEL - share * (_KEEL - _RIM), 2)


def _water(shown: Gauge) -> str:
    if shown.value is None:
        return _band("unknown", _RIM, _KEEL)
    top = _height(shown.value, shown.rim)
    open_above = "" if shown.known_days >= 7 else _band("unknown", _RIM, top)
    over = shown.place in ("above", "well_above") and shown.upper is not None
    if over and shown.upper is not None:
        mark = _height(shown.upper, shown.rim)
        return open_above + _band("water", mark, _KEEL) + _band("over", top, mark)
    return open_above + _band("under" if shown.place == "below" else "water", top, _KEEL)


def _band(kind: str, top: float, bottom: float) -> str:
    if bottom <= top:
        return ""
    return (
        f'<rect class="{kind}" clip-path="url(#hull-inside)" x="0" y="{top}" width="28" height="{bottom - top:.2f}"/>'
    )


def _tick(mark: float, rim: float) -> str:
    height = _height(mark, rim)
    return f'<path class="tick" d="M0.5 {height}H5M23 {height}H27.5"/>'
