"""A stick figure from the side: trunk, limbs and load, with the lean of the trunk and the reach of the load."""

from __future__ import annotations

from keelmark.dose.lumbar_picture import LIMBS, PosturePicture

__all__ = ["posture_figure"]

_SCALE = 150.0
_EDGE = 24.0
_LOAD_RADIUS_M = 0.09


def posture_figure(picture: PosturePicture, words: str) -> str:
    """The picture as SVG markup.

    Parameters
    ----------
    picture : PosturePicture
        Points in metres, forward from the ankle and up from the floor.
    words : str
        What the picture shows, for those who do not see it; already safe inside markup.
    """
    points = picture.points
    left = min(x for x, _ in points.values()) - 0.25
    right = max(x for x, _ in points.values()) + 0.35
    top = max(y for _, y in points.values()) + 0.2

    def at(name: str) -> tuple[float, float]:
        x, y = points[name]
        return (x - left) * _SCALE + _EDGE, (top - y) * _SCALE + _EDGE

    width, height = (right - left) * _SCALE + 2 * _EDGE, top * _SCALE + 2 * _EDGE
    lumbar, load, head, shoulder, hip = (at(name) for name in ("lumbar", "load", "head", "shoulder", "hip"))
    floor = top * _SCALE + _EDGE
    body = [
        f'<line class="ground" x1="8" x2="{width - 8:.0f}" y1="{floor:.1f}" y2="{floor:.1f}"/>',
        _line("measure", hip, (hip[0], shoulder[1] if shoulder[1] < hip[1] - 20 else hip[1] - 60)),
        _line("measure", lumbar, (load[0], lumbar[1])),
        _line("measure", (load[0], lumbar[1]), load),
    ]
    for start, end in LIMBS:
        body.append(_line("arm" if end == "load" else "limb", at(start), at(end)))
    body += [
        f'<circle class="head" cx="{head[0]:.1f}" cy="{head[1]:.1f}" r="{0.11 * _SCALE:.1f}"/>',
        f'<circle class="load" cx="{load[0]:.1f}" cy="{load[1]:.1f}" r="{_LOAD_RADIUS_M * _SCALE:.1f}"/>',
        f'<circle class="joint" cx="{lumbar[0]:.1f}" cy="{lumbar[1]:.1f}" r="5"/>',
    ]
    return f'<svg viewBox="0 0 {width:.0f} {height:.0f}" role="img" aria-label="{words}">{"".join(body)}</svg>'


def _line(kind: str, start: tuple[float, float], end: tuple[float, float]) -> str:
    return f'<line class="{kind}" x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}"/>'
