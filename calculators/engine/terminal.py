"""A worded answer on a terminal: short, or with all that leads to it."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from calculators.engine import show
from calculators.engine.plain import cited

_WIDTH = 100
_WIDEST = 200  # letters of a table's line
_LINES, _NEXT = 24, 3  # of a short answer, and rows of its lists: fewer where cautions leave no room
_BAR, _MOST_MOVES = 20, 6
_LEVELS = ("verdict", "stop_level")

type Value = Mapping[str, Any]


def short(answered: Value) -> list[str]:
    """The answer in few lines: the sentence, cautions, what a card shows large, the next rows of its lists, what it rests on."""
    results, marked = answered["results"], _is_marked(answered)
    large = [name for name in _LEVELS if name in results and name not in answered["headline"]] + answered["headline"]
    head = [*_opening(answered), *_values({name: results[name] for name in large if not isinstance(results[name], list)}, marked)]
    foot = [*(_wrapped(answered["turns"]["text"]) if marked and "turns" in answered else []), textwrap.shorten(answered["rests"], _WIDTH,
            placeholder=" …")]
    lists = {name: rows for name, rows in results.items() if isinstance(rows, list)}
    for count in range(_NEXT, -1, -1):
        lines = [*head, *(line for name, rows in lists.items() for line in _next(name, rows, count)), *foot]
        if len(lines) <= _LINES:
            break
    return lines


def whole(answered: Value, metric: bool) -> Iterator[str]:
    """The answer with all its results, every step, and the sources."""
    results = answered["results"]
    yield from _opening(answered)
    yield ""
    yield from _values({name: value for name, value in results.items() if not isinstance(value, list)}, _is_marked(answered))
    for name, rows in results.items():
        if isinstance(rows, list):
            yield from ("", f"  {show.label(name)}", *([f"    {_none(rows)}"] if _none(rows) else _table(rows)))
    yield from ("", *_wrapped(answered["rests"]))
    yield from ("", "How it is worked out" + (", in US units as the rules count" if metric else ""))
    for step in answered["working"]:
        yield from ("", *_step(step, metric))
    yield from ("", "Sources")
    yield from (f"  {source['value'].replace('_', ' ')}: {cited(source)}" for source in answered["sources"])


def moves(told: Value) -> Iterator[str]:
    """The inputs that matter most, as bars."""
    rows = told["rows"][:_MOST_MOVES]
    if not rows:
        return
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in rows]
    width = max(len(row["input"]["phrase"]) for row in rows)
    yield from ("", f"What moves it most: {told['label']}", *_wrapped(f"Tried: {told['tried']}.", "  ", "  "))
    for row, span in zip(rows, spans, strict=True):
        bar = "█" * max(1, round(span / spans[0] * _BAR))
        low, at_low, high, at_high = (row[part]["shown"] for part in ("low", "result_at_low", "high", "result_at_high"))
        yield f"  {row['input']['phrase']:{width}}  {bar:{_BAR}}  {low} → {at_low}, {high} → {at_high}"


def _is_marked(answered: Value) -> bool:
    """Whether what is the example's is marked: beside an own truck, or what was given."""
    return bool(answered["own"] or answered["yours"])


def _opening(answered: Value) -> Iterator[str]:
    yield from _wrapped(answered["answer"])
    for caution in answered["cautions"]:
        yield from _wrapped(f"{caution['signal']}: {caution['hazard']} {caution['text']}", "", "    ")


def _values(results: Mapping[str, Value], marked: bool) -> Iterator[str]:
    """Results under each other, every number ending in the same column; ``marked``, each with whose it is."""
    width = max((len(value["label"]) for value in results.values()), default=0)
    numbers = max((len(value["number"]) for value in results.values() if value["value"] is not None), default=0)
    for value in results.values():
        told = value["value"] is not None
        said = f"{value['number']:>{numbers}} {value['unit_short']}" if told else f"{'—':>{numbers}} ({value['why']})"
        mark = f"  [{value['whose']}]" if marked and told and value.get("rests_on", "yours") != "yours" else ""
        yield f"  {value['label']:{width}}  {said.rstrip()}{mark}".rstrip()


def _none(rows: Sequence[Mapping[str, Value]]) -> str:
    """That a list has no rows, or none with a value and why."""
    cells = [cell for row in rows for cell in row.values()]
    if any(cell["value"] is not None for cell in cells):
        return ""
    return f"none ({cells[0]['why']})" if cells else "none"


def _next(name: str, rows: Sequence[Mapping[str, Value]], count: int) -> Iterator[str]:
    """The next rows of a list, as far as they have room; a single column in a line."""
    if none := _none(rows):
        yield f"  {show.label(name)}: {none}"
        return
    first = _in_order(rows)[:count]
    more = f" ({len(rows) - len(first)} more with --working)" if len(rows) > len(first) else ""
    in_a_line = ", ".join(cell["shown"] for row in first for cell in row.values()) if first and len(first[0]) == 1 else ""
    yield f"  {show.label(name)}{': ' if in_a_line else ''}{in_a_line}{more}"
    if first and not in_a_line:
        for line in _table(_as_wide(first)):
            yield from _wrapped(line.strip(), "    ", "      ") if len(line) > _WIDTH else [line]


def _in_order(rows: Sequence[Mapping[str, Value]]) -> list[Mapping[str, Value]]:
    """What comes first by its days left first; another list as it stands."""
    return sorted(rows, key=lambda row: _days_left(row.get("days_left")))


def _days_left(cell: Value | None) -> tuple[bool, float]:
    known = cell is not None and cell["value"] is not None
    return (cell is not None and not known, cell["value"] if cell is not None and known else 0)


def _as_wide(rows: Sequence[Mapping[str, Value]]) -> list[dict[str, Value]]:
    """The columns that have room beside each other, from the first."""
    kept: list[str] = []
    room = _WIDTH - len("  ")
    for name, head in rows[0].items():
        room -= max(len(head["label"]), *(len(row[name]["shown"]) for row in rows)) + len("  ")
        if kept and room < 0:
            break
        kept.append(name)
    return [{name: row[name] for name in kept} for row in rows]


def _table(rows: Sequence[Mapping[str, Value]]) -> Iterator[str]:
    heads = [value["label"] for value in rows[0].values()]
    cells = [[value["shown"] for value in row.values()] for row in rows]
    widths = [max(map(len, column)) for column in zip(heads, *cells, strict=True)]
    if sum(widths) > _WIDEST:  # sentences in its cells: a row reads better as one
        for row in cells:
            yield from _wrapped("; ".join(f"{head}: {text}" for head, text in zip(heads, row, strict=True)), "    ", "      ")
        return
    for line in (heads, *cells):
        yield "    " + "  ".join(f"{text:{width}}" for text, width in zip(line, widths, strict=True)).rstrip()


def _step(step: Value, metric: bool) -> Iterator[str]:
    result = step["result"]
    said = result.get("why") or result["shown"]
    if metric and (also := str(show.words(result["value"], result.get("unit", ""), metric=True))) != said and "unit" in result:
        said += f" ({also})"
    line = dict.fromkeys(filter(None, (show.spoken(step["name"]), step["formula"], step.get("worked"), said)))
    because = [f"because {step['because']}"] if "because" in step else []
    yield f"  {step['what']}"
    for part in (" = ".join(line), *because, f"from: {step['source']}"):
        yield from _wrapped(part, "    ", "      ")


def _wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)
