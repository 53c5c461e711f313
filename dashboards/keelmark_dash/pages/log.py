"""Log."""
from __future__ import annotations
from dash import html
def layout(service, season, address):
    return [html.H1("Log")]
def register(app, service):
    pass
