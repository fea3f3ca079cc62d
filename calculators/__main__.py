"""The command line: python -m calculators idle_bill idle_hours_per_day=3 fuel_price="3.90 USD/gal" --json"""

import json
import os
import sys
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import calculators
from calculators import Fault, Refused
from calculators.engine.plain import cited, source_of
from calculators.engine.truck import LEFT_OUT

USAGE = """Usage: python -m calculators NAME [input=value …] [--truck FILE] [--units us|metric] [--json]
       python -m calculators NAME --help     what it asks, in which units and bounds
A bare number is in the declared unit; "30 gal", "113.6 L", "-12 degC" are converted.
--truck takes a my-truck.json, or the name of an example truck: {trucks}."""
_VALUED = ("--truck", "--units")
_FLAGS = ("--json", "--help")
_WIDTH = 100
_BAR, _MOST_MOVES = 20, 6


def main(words: list[str]) -> int:
    """Run the command line; the exit status: 0, or 2 where something was told that won't do."""
    if not words or words[0] in ("--help", "-h"):
        return _list()
    name, *rest = words
    if name not in calculators.NAMES:
        return _complain([Fault("calculator", name, f"write one of {', '.join(calculators.NAMES)}")])
    given, options, faults = _told(rest)
    if "--help" in options:
        return _help(name)
    truck, wrong = _truck(options["--truck"]) if "--truck" in options else (None, [])
    faults += wrong
    units = options.get("--units", "us")
    if units not in ("us", "metric"):
        faults.append(Fault("--units", units, "write us or metric"))
    try:
        answered = calculators.answer(name, given, truck, units="us" if "--json" in options else units)
    except Refused as refused:
        return _complain([*faults, *refused.faults], refused.first)
    if faults:
        return _complain(faults, str(answered["results"].get("stop_rule", {}).get("value", "")))
    if "--json" in options:
        print(json.dumps(answered, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _show(calculators.with_words(answered, units), metric=units == "metric")
        sys.stdout.flush()  # the answer never waits for what moves it
        _show_what_moves(calculators.sensitivity(name, given, truck, units=units))
    return 0


def _told(words: list[str]) -> tuple[dict[str, str], dict[str, str], list[Fault]]:
    """``name=value`` words, ``--option`` words, and what is neither."""
    given: dict[str, str] = {}
    options: dict[str, str] = {}
    faults: list[Fault] = []
    rest = iter(words)
    for word in rest:
        name, equals, value = word.partition("=")
        if word in _FLAGS:
            options[word] = ""
        elif name in _VALUED:
            options[name] = value if equals else next(rest, "")
        elif word.startswith("--") or not equals or not name:
            faults.append(Fault(word, word, "write inputs as name=value, and options as --truck, --units, --json or --help"))
        elif name in given:
            faults.append(Fault(name, value, "write each input once"))
        else:
            given[name] = value
    return given, options, faults


def _truck(path: str) -> tuple[dict[str, Any] | None, list[Fault]]:
    if path in calculators.example_trucks() and not Path(path).exists():
        return calculators.example_truck(path), []
    try:
        text = Path(path).read_text("utf-8")
    except (OSError, ValueError) as wrong:
        reason = getattr(wrong, "strerror", None) or "it is not text"
        return None, [Fault("--truck", path, f"give a my-truck.json that can be read ({reason})")]
    truck, faults = calculators.read_truck(text)
    return truck, [fault._replace(do=fault.do.replace(LEFT_OUT, "take it out of the file")) for fault in faults]


def _complain(faults: list[Fault], first: str = "") -> int:
    print(Refused(faults, first), file=sys.stderr)
    return 2


def _list() -> int:
    width = max(map(len, calculators.NAMES))
    for name in calculators.NAMES:
        print(f"{name:{width}}  {calculators.question(name)}")
    print(f"\n{USAGE.format(trucks=', '.join(calculators.example_trucks()))}")
    return 0


def _help(name: str) -> int:
    print(f"{name}: {calculators.question(name)}\n")
    for field in calculators.form(name):
        print(f"{field.name} — {field.question}\n    {_declared(field)}")
    return 0


def _declared(field: calculators.Field) -> str:
    """One field's kind or unit, bounds, example and source, in a line."""
    kind = field.unit or {"number": "a number", "date": "a day as 2026-09-01", "yes/no": "yes or no",
                          "choice": "one of " + ", ".join(field.choices)}[field.kind]
    bounds = [f"{word} {bound}" for word, bound in (("from", field.low), ("to", field.high)) if bound is not None]
    if field.optional:
        example = "may be left out" + (f"; example {field.value}" if field.value else "")
    else:
        example = "follows from other facts unless told" if field.derived else f"example {field.value}"
    source = source_of(field.source, field.name)
    has_none = field.derived or (field.optional and not field.value)
    origin = f"{source['kind']}: {cited(source)}" if source["kind"] in ("standard", "handbook") else source["kind"]
    spread = "sources say {:g} to {:g}".format(*field.source.spread) if field.source.spread else ""
    return "; ".join(filter(None, (kind, " ".join(bounds), example, "" if has_none else origin, spread)))


def _show(answered: Mapping[str, Any], metric: bool) -> None:
    print(textwrap.fill(answered["answer"], _WIDTH))
    for caution in answered["cautions"]:
        print(textwrap.fill(f"{caution['signal']}: {caution['hazard']} {caution['text']}", _WIDTH, subsequent_indent="    "))
    print()
    _show_results(answered["results"])
    print("\nHow it is worked out" + (", in US units as the rules count" if metric else ""))
    for step in answered["working"]:
        _show_step(step, metric)
    print("\nSources")
    for source in answered["sources"]:
        print(f"  {source['value'].replace('_', ' ')}: {cited(source)}")


def _show_results(results: Mapping[str, Any]) -> None:
    plain = {name: value for name, value in results.items() if not isinstance(value, list)}
    width = max((len(value["label"]) for value in plain.values()), default=0)
    numbers = max((len(value["number"]) for value in plain.values() if value["value"] is not None), default=0)
    for value in plain.values():
        said = f"{value['number']:>{numbers}} {value['unit_short']}" if value["value"] is not None else f"{'—':>{numbers}} ({value['why']})"
        print(f"  {value['label']:{width}}  {said}".rstrip())
    for name, rows in results.items():
        if isinstance(rows, list):
            _show_table(name, rows)


def _show_table(name: str, rows: list[dict[str, Any]]) -> None:
    print(f"\n  {calculators.show.label(name)}")
    if not rows:
        print("    none")
        return
    heads = [value["label"] for value in rows[0].values()]
    cells = [[_cell(value) for value in row.values()] for row in rows]
    widths = [max(map(len, column)) for column in zip(heads, *cells, strict=True)]
    for line in (heads, *cells):
        print("    " + "  ".join(f"{text:{width}}" for text, width in zip(line, widths, strict=True)).rstrip())


def _show_what_moves(moves: Mapping[str, Any]) -> None:
    """The inputs that matter most, as bars."""
    rows = moves["rows"][:_MOST_MOVES]
    if not rows:
        return
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in rows]
    width = max(len(row["input"]["phrase"]) for row in rows)
    print(f"\nWhat moves it most: {moves['label']}")
    print(textwrap.fill(f"Tried: {moves['tried']}.", _WIDTH, initial_indent="  ", subsequent_indent="  "))
    for row, span in zip(rows, spans, strict=True):
        bar = "█" * max(1, round(span / spans[0] * _BAR))
        ends = f"{_cell(row['low'])} → {_cell(row['result_at_low'])}, {_cell(row['high'])} → {_cell(row['result_at_high'])}"
        print(f"  {row['input']['phrase']:{width}}  {bar:{_BAR}}  {ends}")


def _cell(value: Mapping[str, Any]) -> str:
    return str(calculators.show.Words(value["number"], value["unit_short"], value["phrase"]))


def _show_step(step: Mapping[str, Any], metric: bool) -> None:
    result = step["result"]
    said = result.get("why") or _cell(result)
    if metric and (also := str(calculators.show.words(result["value"], result.get("unit", ""), metric=True))) != said and "unit" in result:
        said += f" ({also})"
    line = dict.fromkeys(filter(None, (calculators.show.spoken(step["name"]), step["formula"], step.get("worked"), said)))
    print(f"\n  {step['what']}")
    because = [f"because {step['because']}"] if "because" in step else []
    for part in (" = ".join(line), *because, f"from: {step['source']}"):
        print(textwrap.fill(part, _WIDTH, initial_indent="    ", subsequent_indent="      "))


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]  # a terminal that can't write × still gets its answer
    try:
        status = main(sys.argv[1:])
        sys.stdout.flush()
    except BrokenPipeError:  # the reader stopped early, as head does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status)
