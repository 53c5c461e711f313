"""The HTML document around the app: language, colours before the first paint, and nothing from elsewhere."""

from __future__ import annotations

from keelmark_dash.theme import css_variables

__all__ = ["SCHEME_SCRIPT", "document"]

SCHEME_SCRIPT = """
(function () {
  let scheme = null;
  try { scheme = window.localStorage.getItem("mantine-color-scheme-value"); } catch (error) { scheme = null; }
  if (scheme !== "light" && scheme !== "dark") {
    scheme = window.matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }
  document.documentElement.setAttribute("data-mantine-color-scheme", scheme);
})();
"""
"""Sets night or day colours before anything is painted."""

_DOCUMENT = """<!DOCTYPE html>
<html lang="en">
<head>
{%metas%}
<title>{%title%}</title>
{%favicon%}
<style>__VARIABLES__</style>
<script>__SCHEME__</script>
{%css%}
</head>
<body>
{%app_entry%}
{%config%}
{%scripts%}
{%renderer%}
</body>
</html>"""


def document() -> str:
    """The document with the palette in it, as Dash's `index_string`."""
    return _DOCUMENT.replace("__VARIABLES__", css_variables()).replace("__SCHEME__", SCHEME_SCRIPT)
