"""The search's index after the build: rare words of the trade lead where they should, each light has a row, formulas have none.

The builder makes a row of every section. Here words that a reader may type and no page says (dpf, egr, gvwr) are added as keys
that are searched and never shown; the theme's successor knows no such field, so there they stand at the end of the text.
"""

import json
import re
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from macros.runtime.build import ROOT, CannotBuild
from macros.two_languages import words

WORDS = ROOT / "docs" / "includes" / "search.toml"
KEYS = 1e3  # how much a key weighs: a title's weight; a hundred times more pulled good queries wrong
FIRST, LAST, DO = 1.2, 0.3, 2.0  # what a row weighs: the lights, the reference, what to do

type Row = dict[str, Any]


def rewrite(site: Path) -> None:
    """Rewrite the index of the theme of today in place; without one (its successor has another) nothing is done."""
    folder = site / "search"
    found = folder / "search_index.json"
    if not found.exists():
        return
    index = json.loads(found.read_text("utf-8"))
    index["config"]["fields"]["keys"] = {"boost": KEYS}
    table = tomllib.loads(WORDS.read_text("utf-8"))
    index["docs"] = rows(index["docs"], table["words"], table["weights"])
    text = json.dumps(index, ensure_ascii=False, separators=(",", ":"))
    found.write_text(text, "utf-8")
    beside = found.with_suffix(".js")
    if beside.exists():
        beside.write_text(f"var __index = {text}", "utf-8")


def plain(text: str) -> str:
    """Lists as paragraphs: what is shown of a text is cut out of the middle, where an item would have no list around it."""
    return re.sub(r"(</?p>)\s*\1", r"\1", re.sub(r"</?[ou]l>", "", re.sub(r"(</?)li>", r"\1p>", text)))


def rows(built: Iterable[Row], keys: Mapping[str, str], weights: Mapping[str, float]) -> list[Row]:
    """The index's rows; CannotBuild names a place of the table that no page has."""
    made = [*({**row, "text": plain(row["text"])} for row in built), *lights()]
    places = {row["location"] for row in made}
    if lost := [place for place in (*keys, *weights) if place not in places]:
        raise CannotBuild(f"{WORDS.relative_to(ROOT)}: no page has the place {lost[0]!r}")
    return [weighed(row, weights) | ({"keys": keys[row["location"]]} if row["location"] in keys else {})
            for row in made if row["text"] or row["title"]]


def weighed(row: Row, weights: Mapping[str, float]) -> Row:
    """The row with how much it counts."""
    page, _, place = row["location"].partition("#")
    factor = FIRST if page == "light.html" else LAST if page == "reference.html" else DO if place.startswith("do-") else 1.0
    factor *= weights.get(row["location"], 1.0)
    return row if factor == 1 else row | {"boost": factor}


def lights() -> list[Row]:
    """A row for each light: its name, what it looks like and what to do first, in English; its Spanish name as well."""
    return [{"location": f"light.html#{entry['id']}", "title": entry["name"]["en"],
             "text": " ".join((entry["looks"]["en"], *(action["en"] for action in entry["first"]), entry["name"]["es"])).replace("**", "")}
            for entry in words("light")["entries"]]
