"""The pages of keelmark, served from the machine they run on."""

from keelmark_dash.app import create_app
from keelmark_dash.serve import bind, serve_forever

__all__ = ["bind", "create_app", "serve_forever"]
