"""The command line: python -m calculators idle_bill idle_hours_per_day=3 fuel_price="3.90 USD/gal" --json"""

import json
import os
import sys
from pathlib import Path
from typing import Any

import calculators
from calculators import Fault, Refused
from calculators.engine import terminal
from calculators.engine.mistakes import Mistake
from calculators.engine.plain import cited, source_of
from calculators.engine.truck import LEFT_OUT, is_example

USAGE = """Usage: python -m calculators NAME [input=value …] [--truck FILE] [--units us|metric] [--json | --working]
       python -m calculators NAME --help     what it asks, in which units and bounds
A bare number is in the declared unit; "30 gal", "113.6 L", "-12 degC" are converted.
--working shows every result, each step of the way, its sources and what moves it; --json holds all of that.
--truck takes a my-truck.json, or the name of an example truck: {trucks}."""
_VALUED = ("--truck", "--units")
_FLAGS = ("--json", "--working", "--help")


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
        answered = calculators.answer(name, given, truck, units="us" if "--json" in options else units,
                                      working=bool({"--json", "--working"} & options.keys()))
    except Refused as refused:
        return _complain([*faults, *refused.faults], refused.first)
    if faults:
        return _complain(faults, str(answered["results"].get("stop_rule", {}).get("value", "")))
    if "--json" in options:
        print(json.dumps(answered, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _show(answered, truck, units)
    if "--working" in options:
        sys.stdout.flush()  # the answer never waits for what moves it
        print(*terminal.moves(calculators.sensitivity(name, given, truck, units=units)), sep="\n")
    return 0


def _show(answered: dict[str, Any], truck: dict[str, Any] | None, units: str) -> None:
    worded, own = calculators.with_words(answered, units), truck is not None and not is_example(truck)
    print(*(terminal.whole(worded, own, units == "metric") if "working" in worded else terminal.short(worded, own)), sep="\n")


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
            faults.append(Fault(word, word, "write inputs as name=value, and options as --truck, --units, --json, --working or --help"))
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


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]  # a terminal that can't write × still gets its answer
    try:
        status = main(sys.argv[1:])
        sys.stdout.flush()
    except Mistake as mistake:  # of whoever adds to the guide, in a file of ours
        print(mistake, file=sys.stderr)
        status = 1
    except BrokenPipeError:  # the reader stopped early, as head does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status)
