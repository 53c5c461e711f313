"""Methods: how each figure is made, what it rests on, and what the program does not do."""

from __future__ import annotations

from typing import Any

from dash import Dash, Input, Output, html, no_update

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import FRAMES
from keelmark.contracts.schema import FrameSchema
from keelmark.load.gates import GAP_DAYS, HISTORY_DAYS, LEAST_TRAINED_A_WEEK
from keelmark.service import SETTINGS
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.methods_words import EVIDENCE_WORDS, FIGURES, NOT_DONE, FigureNote, channel_note
from keelmark_dash.page import Page, Visit
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.audit_panel import audit_panel, register_audit
from keelmark_dash.parts.catalogue_grid import catalogue_grid, catalogue_rows
from keelmark_dash.parts.mechanics_methods import MECHANICS_SECTIONS, mechanics_section, register_mechanics_methods
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.plan_methods import PLAN_SECTION, plan_methods
from keelmark_dash.parts.table import table
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.ready import ReadyOnce
from keelmark_dash.sheets import methods_sheet
from keelmark_dash.words import count

__all__ = ["PAGE"]

GRID = ids.named(ids.METHODS, "grid")
_READY = ReadyOnce()


def layout(here: Visit) -> list[Any]:
    """The page, from the same definitions that the figures are computed from."""
    catalogue = here.squad.catalogue
    shown = catalogue, str(here.squad.settings())
    return [
        html.H1("How the figures are made"),
        html.Nav(
            html.Ul([html.Li(html.A(title, href=f"#{ids.named(ids.METHODS, key)}-title")) for key, title in _SECTIONS]),
            className="contents",
            **aria(label="On this page"),
        ),
        *_READY.of(("rules", *shown), lambda: _rules(catalogue)),
        _section("audit", audit_panel(here)),
        _section("channels", [*_READY.of(("channels", *shown), _channels), take_away(ids.METHODS, "channels")]),
        _section("catalogue", _catalogue(here.squad)),
        *_READY.of(("tables", *shown), lambda: [_section("tables", [_frame(schema) for schema in FRAMES])]),
        _section("settings", [_settings(here.squad)]),
        _section("not-done", [html.Ul([html.Li(line) for line in NOT_DONE])]),
    ]


def _rules(catalogue: Catalogue) -> list[html.Section]:
    return [
        _section("figures", [html.Div([_figure(note) for note in FIGURES], className="figure-notes")]),
        *(_section(key, mechanics_section(key, catalogue)) for key, _ in MECHANICS_SECTIONS),
        _section(PLAN_SECTION[0], plan_methods()),
        _section("withheld", _withheld()),
    ]


_SECTIONS = (
    ("figures", "Figures"),
    *MECHANICS_SECTIONS,
    PLAN_SECTION,
    ("withheld", "When a figure is withheld"),
    ("audit", "How often the rules speak"),
    ("channels", "Kinds of work"),
    ("catalogue", "Movements"),
    ("tables", "Tables"),
    ("settings", "What this squad chose"),
    ("not-done", "What keelmark does not do"),
)


def _section(key: str, content: list[Any]) -> html.Section:
    return panel(ids.named(ids.METHODS, key), dict(_SECTIONS)[key], *content)


def _figure(note: FigureNote) -> html.Article:
    return html.Article(
        [
            html.H3(note.title),
            html.P(note.meaning),
            html.P(html.Code(note.formula), className="formula"),
            html.Dl(
                [
                    html.Div([html.Dt(head), html.Dd(text)])
                    for head, text in (
                        ("Unit", note.unit),
                        ("Source", note.source),
                        ("Evidence", EVIDENCE_WORDS[note.evidence]),
                        ("Made by", html.Code(note.code)),
                    )
                ],
                className="facts",
            ),
        ],
        className="figure-note",
    )


def _withheld() -> list[Any]:
    return [
        html.P("Where too little is known, the reason stands in the place of the figure."),
        html.Ul(
            [
                html.Li(f"Ratios need {HISTORY_DAYS} known days, counted anew after {GAP_DAYS} days without training."),
                html.Li(f"Ratios need work of that kind on at least {LEAST_TRAINED_A_WEEK} days a week."),
                html.Li("A largest value, such as the lumbar peak, is not added up and has no ratio."),
                html.Li("A usual range needs a few known weeks; until then the place of a week is not known."),
            ]
        ),
    ]


def _channels() -> list[html.Div]:
    heads = [("Kind of work", "text"), ("Unit", "text"), ("Counts", "words"), ("Made from", "words"), ("Week", "text")]
    body = [
        [
            channel.label,
            channel.unit,
            channel.meaning,
            channel_note(channel),
            "sum of its days" if channel.gather == "sum" else "largest day",
        ]
        for channel in CHANNELS
    ]
    return [table(f"{count(len(CHANNELS), 'kind')} of work", heads, body)]


def _catalogue(squad: Any) -> list[Any]:
    tally = squad.catalogue.evidence_tally()
    known = html.Ul([html.Li(f"{how_many} numbers are {EVIDENCE_WORDS[key]}") for key, how_many in tally.items()])
    return [
        html.P(
            f"The catalogue knows {len(squad.catalogue)} movements, and says of each number what it rests on. "
            "Type below a column's head to search it."
        ),
        known,
        catalogue_grid(GRID),
        take_away(ids.METHODS, "catalogue"),
    ]


def _frame(schema: FrameSchema) -> html.Details:
    heads = [("Column", "text"), ("Type", "wrap"), ("Unit", "text"), ("May be empty", "text"), ("Meaning", "words")]
    body = [[html.Code(c.name), c.type_name, c.unit, "yes" if c.optional else "no", c.meaning] for c in schema.columns]
    caption = f"{schema.name}: {schema.meaning}"
    return html.Details([html.Summary(caption), table(caption, heads, body, hide_caption=True)])


def _settings(squad: Any) -> html.Div:
    chosen = squad.settings()
    body = [
        [
            html.Span([one.meaning[:1].upper() + one.meaning[1:], html.Br(), html.Code(one.key)]),
            _choice(chosen[one.key]),
        ]
        for one in SETTINGS
        if one.key in chosen
    ]
    return table("Settings in use", [("Setting", "wrap"), ("Chosen", "text")], body)


def _choice(value: object) -> str:
    return f"{value:.3g}" if isinstance(value, float) else str(value)


def register(app: Dash, desk: Desk) -> None:
    """The catalogue is read a screenful at a time; the audit is made when asked for."""
    register_mechanics_methods(app, desk)
    register_audit(app, desk)

    @app.callback(Output(GRID, "getRowsResponse"), Input(GRID, "getRowsRequest"), prevent_initial_call=True)
    def _rows(request: dict[str, Any] | None) -> Any:
        if request is None:
            return no_update
        rows = catalogue_rows(desk.squad.catalogue, request.get("filterModel"))
        return {"rowData": rows[request["startRow"] : request["endRow"]], "rowCount": len(rows)}


PAGE = Page("/methods", "Methods", layout, register=register, libraries=("dash_ag_grid",), sheets=methods_sheet)
