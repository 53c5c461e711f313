"""The Methods page reads its rows from the docstrings; nothing public may be left out of it."""

from __future__ import annotations

import importlib
import inspect
import pkgutil

import keelmark.mechanics as package
from keelmark.mechanics import OCCUPATIONAL_CONTEXT, methods

NOT_FORMULAS = {
    "asymmetry_multiplier", "coupling_multiplier", "distance_multiplier", "duration_of_work", "frequency_multiplier",
    "frequency_over_15_minutes", "horizontal_multiplier", "vertical_multiplier", "even_draws", "from_range",
    "landing_class_of_drop", "methods",
}  # fmt: skip
"""Terms of the lifting equation stand in its own row; the others are not formulas of a figure."""

JUDGED_TABLES = {"body_of", "grip_capacity_share", "lifting_index"}


def test_every_public_formula_stands_on_the_methods_page() -> None:
    public = set()
    for module in pkgutil.iter_modules(package.__path__):
        loaded = importlib.import_module(f"keelmark.mechanics.{module.name}")
        public |= {name for name in loaded.__all__ if inspect.isfunction(getattr(loaded, name))}
    assert {method.key for method in methods()} == public - NOT_FORMULAS


def test_every_row_has_a_title_a_scope_or_equation_and_evidence() -> None:
    for method in methods():
        assert method.title.endswith("."), method.key
        assert method.equation or method.key in JUDGED_TABLES, method.key
        assert method.scope or method.equation, method.key
        assert method.evidence in ("published", "derived", "judgement")


def test_units_are_read_from_the_docstrings() -> None:
    units = {method.key: method.unit for method in methods()}
    assert units["extension_moment"] == "N m"
    assert units["compression"] == units["shear"] == "N"
    assert units["reps_possible"] == "rep"
    assert units["spine_cycles"] == units["tendon_cycles"] == "cycle"


def test_every_row_names_its_source_unless_it_is_judgement() -> None:
    for method in methods():
        assert method.source or method.evidence == "judgement", method.key


def test_occupational_figures_are_context_only() -> None:
    assert "3400 N and 6400 N" in OCCUPATIONAL_CONTEXT
    assert "nothing about what one athlete may lift" in OCCUPATIONAL_CONTEXT
