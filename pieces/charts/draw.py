"""Draws a chart: its Vega-Lite spec, filled with an answer's rows, as one small SVG without a style.

Colors are the site's tokens, written into presentation attributes, so that one picture follows light,
dark and the saved truck's blue; paper gets black. docs/assets/charts.js does the same in the page,
from the same specs, kinds and tidying rules.
"""

import json
import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import vl_convert

HERE = Path(__file__).parent
VEGA_LITE = "6.4"
LINE = 18  # height of a line of text in a picture
BLACK = ((re.compile(r"var\(--card\)"), "#fff"), (re.compile(r'"var\(--[^"]*\)"'), '"#000"'))

type Answer = Mapping[str, Any]
type Row = dict[str, Any]


def read(name: str) -> Any:
    """One of this folder's data files."""
    return json.loads((HERE / f"{name}.json").read_text("utf-8"))


KINDS: dict[str, dict[str, Any]] = read("kinds")
TIDY = [(re.compile(found), said.replace("$1", r"\1")) for found, said in read("tidy")]


def spec_of(kind: str) -> str:
    """Two kinds may be drawn by one spec."""
    return str(KINDS[kind].get("spec", kind))


@cache
def compiled(spec: str) -> str:
    """A spec as Vega, which the page can draw with half the code."""
    vega = vl_convert.vegalite_to_vega({**read(spec), **read("_config")}, vl_version=VEGA_LITE)
    vega.pop("$schema")  # an address that nothing asks
    return json.dumps(vega, separators=(",", ":"), sort_keys=True)


def picture(kind: str, rows: Sequence[Row], paper: bool = False, width: int = 0, lanes: int = 0) -> str:
    """The SVG of some rows; as wide as its spec says, or ``width``; of lanes below each other so many."""
    vega = json.loads(compiled(spec_of(kind)))
    next(data for data in vega["data"] if data["name"] == "rows")["values"] = rows
    if row_height := KINDS[kind].get("row_height"):
        vega["height"] = row_height * len(rows)
    if width:
        vega["width"] = width
    if lanes:
        vega["height"] = KINDS[kind]["lane_height"] * lanes + KINDS[kind]["foot"]
    drawn = vl_convert.vega_to_svg(vega)
    for found, said in TIDY:
        drawn = found.sub(said, drawn)
    for found, said in BLACK if paper else ():
        drawn = found.sub(said, drawn)
    return drawn


def trimmed(drawn: str) -> str:
    """Without the room kept free for labels above the highest one: the page may not jump, paper never does."""
    top = min(float(y) for y in re.findall(r"<text[^>]*translate\([^,]+,([-\d.]+)\)", drawn)) - LINE
    if top <= 0:
        return drawn
    return re.sub(r'viewBox="0 0 (\d+) (\d+)"', lambda box: f'viewBox="0 {top:g} {box[1]} {float(box[2]) - top:g}"', drawn)


def rows_of(kind: str, answer: Answer) -> list[Row]:
    """What a spec may use: every row of its list, and with each the single results and inputs."""
    entry = KINDS[kind]
    facts = flat({**single(answer["inputs"]), **single(answer["results"])})
    listed = [{**facts, **flat(row)} for row in (answer["results"][entry["list"]] if "list" in entry else [{}])]
    return [{**row, **entry.get("told", {}), **{name: row[field] for name, field in entry.get("series", {}).items()}} for row in listed]


def single(values: Answer) -> Answer:
    """Values that are no list, by names a spec can say."""
    return {name: value for name, value in values.items() if isinstance(value, Mapping) and "." not in name}


def flat(values: Answer) -> Row:
    """Each value under its name, and its words beside it."""
    return {key: told for name, value in values.items() for key, told in ((name, value["value"]), (f"{name}_words", shown(value)))}


def shown(value: Answer) -> str:
    """Its words as they stand on a line."""
    return str(value["shown"] if "shown" in value else value["phrase"])
