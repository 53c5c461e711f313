"""What is the same for everybody is made ready once, over writes and people, and anew for another catalogue."""

from __future__ import annotations

from dash import html

from keelmark_dash.desk import Desk
from keelmark_dash.pages.methods import PAGE
from keelmark_dash.ready import ReadyOnce
from keelmark_dash.routing import visit
from tests.faults.doors import MOVEMENTS, crew


def test_content_is_built_once_for_a_key_and_the_oldest_goes() -> None:
    built: list[int] = []

    def build(number: int) -> list[html.P]:
        built.append(number)
        return [html.P(str(number))]

    kept = ReadyOnce()
    for number in (1, 1, *range(2, ReadyOnce._MOST + 2), 2, 1):
        assert kept.of(number, lambda number=number: build(number))[0]["props"]["children"] == str(number)  # type: ignore[misc]
    assert built == [1, *range(2, ReadyOnce._MOST + 2), 1]


def test_the_methods_page_is_not_built_anew_after_a_write_but_for_another_catalogue() -> None:
    with crew() as squad:

        def shown() -> dict[str, object]:
            parts = PAGE.layout(visit(Desk(squad), "")[0])
            return {part["props"]["aria-labelledby"]: part for part in parts if isinstance(part, dict)}

        before = shown()
        assert {"methods-figures-title", "methods-withheld-title", "methods-tables-title"} <= set(before)
        squad.check_in("aled", "2025-W36", {"taking_part": 0})
        assert all(part is before[key] for key, part in shown().items())
        squad.change_own_movements("own.toml", MOVEMENTS)
        assert not any(part is before[key] for key, part in shown().items())
        squad.set_setting("load_unit", "lb")
        assert not any(part is before[key] for key, part in shown().items())
