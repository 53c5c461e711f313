"""Methods."""
from __future__ import annotations
from dash import html
def layout(address):
    return [html.H1("Methods")]
def register(app, service):
    pass
