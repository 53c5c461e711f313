"""The mechanics on the Methods page: formulas, postures, what others measured, and limits made for work."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from dash import Dash, Input, Output, html

from keelmark.catalogue import Catalogue
from keelmark.catalogue.heights import height_kinds
from keelmark.catalogue.posture import Family
from keelmark.contracts.rounding import ROUNDING_RULE
from keelmark.dose.lumbar_amounts import family_of
from keelmark.dose.lumbar_inputs import INPUT_LABELS
from keelmark.dose.lumbar_picture import posture_picture
from keelmark.dose.lumbar_published import Comparison, comparisons
from keelmark.mechanics import OCCUPATIONAL_CONTEXT, Method, methods
from keelmark.mechanics.lifting_equation import US_CUSTOMARY, Lift, lifting_index, recommended_weight
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.figures.posture import posture_figure
from keelmark_dash.methods_words import EVIDENCE_WORDS, MEANINGS
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.parts.markup import drawing, text
from keelmark_dash.parts.table import table
from keelmark_dash.words import number, number_within, span

__all__ = ["MECHANICS_SECTIONS", "mechanics_section", "register_mechanics_methods"]

MECHANICS_SECTIONS = (
    ("mechanics", "Formulas of the mechanics"),
    ("postures", "Postures"),
    ("measured", "The model against what others measured"),
    ("work", "Limits made for work"),
)

PICKED = ids.named(ids.METHODS, "posture-movement")
POSTURE = ids.named(ids.METHODS, "posture")
_FIRST = "deadlift"
_OTHER_LABELS = {"upper_share": "share of the trunk that the back carries", "cycles_per_rep": "times one rep counts"}
_UNIT_OF_ENDING = {"deg": "degrees", "m": "m", "cm": "cm", "n": "N", "kg": "kg", "seconds": "s"}


def mechanics_section(key: str, catalogue: Catalogue) -> list[Any]:
    """What stands under one of `MECHANICS_SECTIONS`."""
    if key == "mechanics":
        return _formulas()
    if key == "postures":
        return _postures(catalogue)
    return _measured() if key == "measured" else _work()


def register_mechanics_methods(app: Dash, desk: Desk) -> None:
    """The posture of a chosen movement."""

    @app.callback(Output(POSTURE, "children"), Input(PICKED, "value"))
    def _pose(movement: str | None) -> list[Any]:
        return _posture(movement or _FIRST, desk.squad.catalogue)


def _formulas() -> list[Any]:
    by_subject = [
        html.Details(
            [html.Summary(subject), html.Div([_formula(method) for method in of_subject], className="figure-notes")]
        )
        for subject, of_subject in groupby(methods(), key=lambda method: method.subject)
    ]
    return [
        html.P(
            "Every figure of the lower back, the hands, landings and full sets is made of these. Bodies, postures and "
            "times are drawn 2,000 times from their ranges, the same draws each time; the interval holds the middle 95 "
            "% of what comes out. Ranges of single efforts are added up as if all errors went the same way, so weeks "
            "are wide rather than narrow."
        ),
        *by_subject,
        html.H3("How many digits are told"),
        html.P(ROUNDING_RULE),
        html.H3("Heights that are believed"),
        html.P(
            "In a log, a row with a height outside of these is set aside and told. On a whiteboard the height is left "
            "out and told, and the work is counted. All of them are judgement."
        ),
        _heights(),
    ]


def _heights() -> html.Div:
    heads = [("Height", "words"), ("Believed", "figure"), ("Why", "words")]
    body = [[kind.label, kind.bounds, kind.reason] for kind in height_kinds().values()]
    return table("What a written height may stand for", heads, body, stack=True)


def _formula(method: Method) -> html.Article:
    facts = (
        ("Unit", method.unit or "none"),
        ("Source", method.source),
        ("Evidence", EVIDENCE_WORDS[method.evidence]),
        ("Made by", html.Code(method.key)),
    )
    equation = [html.P(html.Code(method.equation), className="formula")] if method.equation else []
    meaning = [html.P(MEANINGS[method.key])] if method.key in MEANINGS else []
    scope = [html.P(f"Scope: {method.scope}")] if method.scope else []
    return html.Article(
        [
            html.H3(method.title),
            *meaning,
            *scope,
            *equation,
            html.Dl([html.Div([html.Dt(head), html.Dd(said)]) for head, said in facts], className="facts"),
        ],
        className="figure-note",
    )


def _postures(catalogue: Catalogue) -> list[Any]:
    known = [name for name in catalogue if isinstance(family_of(name, catalogue, catalogue.postures), Family)]
    data = sorted(({"value": name, "label": catalogue.names.label(name)} for name in known), key=lambda d: d["label"])
    return [
        html.P(
            "How the trunk and the load stand at the instant that loads the back most, each figure with its range. A "
            "squad can state postures of its own, and these then stand here."
        ),
        html.Div(choose_one(PICKED, "Movement", data, _FIRST, search=True, allowDeselect=False),
                 className="posture-pick"),
        html.Div(_posture(_FIRST, catalogue), id=POSTURE),
    ]  # fmt: skip


def _posture(movement: str, catalogue: Catalogue) -> list[Any]:
    family = family_of(movement, catalogue, catalogue.postures)
    name = catalogue.names.label(movement)
    if not isinstance(family, Family):
        return [html.P(f"No posture is stated for {name}.")]
    picture = posture_picture(family.movements[0], postures=catalogue.postures)
    shown: Any = html.P("Measured compression is taken for this movement, so there is no posture to draw.")
    if picture is not None:
        lumbar, load = picture.points["lumbar"], picture.points["load"]
        told = (
            f"{family.label}, {family.instant}: the trunk leans {picture.lean_deg:.0f} degrees forward and the load is "
            f"{(load[0] - lumbar[0]) * 100:.0f} cm in front of the lowest lumbar joint, for a person of 80 kg and "
            "175 cm."
        )
        shown = html.Figure([drawing(posture_figure(picture, text(told))), html.Figcaption(told)], className="posture")
    heads = [("Figure", "words"), ("Value", "figure"), ("Range", "figure"), ("Rests on", "words")]
    body = [
        [_label(field), number(figure.value), f"{_plain(figure.low)} to {_plain(figure.high)}",
         figure.source or EVIDENCE_WORDS[figure.evidence]]
        for field, figure in family.figures().items()
    ]  # fmt: skip
    return [html.Div([shown, table(f"Posture of {name}", heads, body, stack=True)], className="posture-columns")]


def _label(field: str) -> str:
    said = INPUT_LABELS.get(field) or _OTHER_LABELS.get(field) or field.replace("_", " ")
    unit = _UNIT_OF_ENDING.get(field.rsplit("_", 1)[-1])
    return f"{said} ({unit})" if unit and "per" not in field.split("_") else said


def _plain(value: float) -> str:
    return number(value) if value >= 0 else f"−{number(-value)}"


def _measured() -> list[Any]:
    heads = [
        ("Task", "words"), ("What", "words"), ("Published", "figure"), ("Model", "figure"),
        ("Model over published", "figure"),
    ]  # fmt: skip
    rows = comparisons()
    sources = list(dict.fromkeys(_source(row) for row in rows))
    body = [_comparison(row, sources.index(_source(row)) + 1) for row in rows]
    return [
        html.P(
            "The postures of the catalogue are not tuned to any of these; where an assumption was changed after a "
            "first comparison, its source below says so. The range behind the model's figure is its own interval for "
            "that task. Model over published is 1 inside what was published, and 1.2 where the model gives a fifth "
            "more."
        ),
        table("Published figures and the model's own", heads, body, stack=True),
        html.Ol([html.Li(source) for source in sources], className="soft"),
    ]


def _source(row: Comparison) -> str:
    return f"{row.source}; {row.remark}." if row.remark else f"{row.source}."


def _comparison(row: Comparison, source: int) -> list[Any]:
    same = row.published_low == row.published_high
    published = number(row.published_low) if same else f"{number(row.published_low)} to {number(row.published_high)}"
    what = f"{row.quantity} ({row.unit})" if row.unit and row.unit != row.quantity else row.quantity
    ends, ratios = (row.model, row.model_low, row.model_high), (row.ratio, row.ratio_low, row.ratio_high)
    return [f"{row.task} [{source}]", what, published, _with_span(*ends), _with_span(*ratios)]


def _with_span(value: float, low: float, high: float) -> str:
    return f"{number_within(value, low, high)} ({span(value, low, high)})"


def _work() -> list[Any]:
    return [
        html.P(OCCUPATIONAL_CONTEXT),
        html.P(
            "The lifting equation is worked out in full all the same, as a check of our arithmetic: its tables and "
            "printed examples must come out to the last digit. It describes slow lifts with two hands. Its form for "
            "several tasks in one day is left out: it would add a second way to do the same check."
        ),
        html.P(html.Code("RWL = 23 kg × HM × VM × DM × AM × FM × CM"), className="formula"),
        html.P(
            "HM is for the reach of the hands, VM for their height, DM for how far the load travels, AM for turning, "
            "FM for how often and how long, CM for the grip; each is at most 1. Waters TR et al. (1993), Ergonomics "
            "36(7):749-776.",
            className="soft",
        ),
        html.P(f"The manual's fourth example, as it comes out here: {_example()}", className="soft"),
    ]


def _example() -> str:
    """The one example whose terms are confirmed against the manual."""
    origin = Lift(10, 22, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY)
    end = Lift(20, 59, 37, 0, 3, "short", "fair", 22, US_CUSTOMARY)
    index = lifting_index(26, end)
    return (
        f"{recommended_weight(origin):.1f} lb where the lift begins (printed 34.9), {recommended_weight(end):.1f} lb "
        f"where it ends (printed 15.2 from rounded terms), and {index:.1f} times that for 26 lb (printed 1.7)."
    )
