"""Results told by the titles of the parts of a day or by their lift: `strength 110, metcon 6+4`."""

from __future__ import annotations

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon

__all__ = ["titled_parts"]

_TITLES = frozenset(["strength", "conditioning", "accessory", "core", "gymnastics", "cash_out", "warm_up"])
_APART = frozenset(["comma", "semicolon", "slash", "sslash", "newline", "stop", "sdash", "cell"])


def titled_parts(text: str, items: tuple[Item, ...], lexicon: Lexicon) -> list[tuple[str, str, str]]:
    """The text of each part with its title, or with the movement that it is of; nothing where none has a title.

    Parameters
    ----------
    text : str
        The result.
    items : tuple of Item
        Those of the text.
    lexicon : Lexicon
        Tells names that can mean several movements.

    Returns
    -------
    list of (title, movement, text)
        One of the first two is empty.
    """
    begins = [at for at in range(len(items)) if at == 0 or items[at - 1].kind in _APART]
    heads = [at for at in begins if _title_of(items, at)]
    if len(heads) < 2 or heads[0] or not any(items[at].kind != "movement" for at in heads):
        return []
    found: list[tuple[str, str, str]] = []
    for at, behind in zip(heads, [*heads[1:], len(items)], strict=True):
        end = items[behind - 1].start if behind < len(items) else len(text)
        part = text[items[at].end : end].lstrip(" :=–-")
        named = items[at].kind == "movement"
        unsure = named and lexicon.doubt(items[at].word, None) is not None
        of = items[at].word.replace(" ", "_") if unsure else str(items[at].value)
        found.append(("" if named else _title_of(items, at), of if named else "", part))
    return found


def _title_of(items: tuple[Item, ...], at: int) -> str:
    """The title or the movement that a part begins with, a figure right behind it; nothing where there is none."""
    here = at + 1 + (at + 1 < len(items) and items[at + 1].kind in ("colon", "equals", "sdash"))
    if here >= len(items) or items[here].kind not in ("number", "clock"):
        return ""
    item = items[at]
    title = next((role for role in (item.kind, *item.roles) if role in _TITLES), "")
    return title or (str(item.value) if item.kind == "movement" else "")
