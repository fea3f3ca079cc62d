"""The command line: python -m calculators idle_bill idle_hours_per_day=3 fuel_price="3.90 USD/gal" --json"""

import contextlib
import errno
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
from calculators.engine.truck_file import UNUSED

USAGE = """Usage: python -m calculators NAME [input=value …] [--truck FILE] [--book FILE] [--units us|metric] [--json | --working]
       python -m calculators NAME --help     what it asks, in which units and bounds
A bare number is in the declared unit; "30 gal", "113.6 L", "-12 degC" are converted.
--working shows every result, each step of the way, its sources and what moves it; --json holds all of that.
--truck takes a my-truck.json, or the name of an example truck: {trucks}.
--book takes a table of entries (CSV) beside those in the truck's file."""
_VALUED = ("--truck", "--book", "--units")
_FLAGS = ("--json", "--working", "--help")


def main(words: list[str]) -> int:
    """Run the command line; the exit status: 0, 2 where something was told that won't do, 3 where rows of a table were left out."""
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
    left_out: list[str] = []
    if "--book" in options:
        truck, wrong, left_out = _with_table(options["--book"], truck or calculators.truck_of("My truck", {}))
        faults += wrong
    units = options.get("--units", "us")
    if units not in ("us", "metric"):
        faults.append(Fault("--units", units, "write us or metric"))
    try:
        answered = calculators.answer(name, given, truck, units="us" if "--json" in options else units,
                                      working=bool({"--json", "--working"} & options.keys()))
    except Refused as refused:
        return _complain([*faults, *refused.faults], refused.first)
    print(*left_out, sep="\n", end="\n" * bool(left_out), file=sys.stderr)
    if faults:
        return _complain(faults, str(answered["results"].get("stop_rule", {}).get("value", "")))
    if "--json" in options:
        print(json.dumps(answered, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _show(answered, units)
    if "--working" in options and "--json" not in options:
        sys.stdout.flush()  # the answer never waits for what moves it
        print(*terminal.moves(calculators.sensitivity(name, given, truck, units=units)), sep="\n")
    return 3 if left_out else 0


def _show(answered: dict[str, Any], units: str) -> None:
    worded = calculators.with_words(answered, units)
    print(*(terminal.whole(worded, units == "metric") if "working" in worded else terminal.short(worded)), sep="\n")


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
            options_are = "--truck, --book, --units, --json, --working or --help"
            faults.append(Fault(word, word, f"write inputs as name=value, and options as {options_are}"))
        elif name in given:
            faults.append(Fault(name, value, "write each input once"))
        else:
            given[name] = value
    return given, options, faults


def _truck(path: str) -> tuple[dict[str, Any] | None, list[Fault]]:
    if path in calculators.example_trucks() and not Path(path).exists():
        return calculators.example_truck(path), []
    data, wrong = _data("--truck", path, "a my-truck.json")
    truck, faults = calculators.read_truck(data.decode("utf-8-sig", errors="replace")) if not wrong else (None, wrong)
    return truck, [fault._replace(do=fault.do.replace(UNUSED, "take it out of the file")) for fault in faults]


def _with_table(path: str, truck: dict[str, Any]) -> tuple[dict[str, Any], list[Fault], list[str]]:
    """The truck with a table's good rows in its book, and what is said of the others."""
    data, faults = _data("--book", path, "a table of entries (CSV)")
    if faults:
        return truck, faults, []
    from calculators.engine.book_replies import from_table  # reads tables, which no answer needs
    from calculators.engine.spreadsheet import Problem, text_of

    made, _ = from_table({"truck": truck, "text": text_of(data)})
    if made["others"]:
        print(f"{path}: {made['others']} rows are other trucks’, and were left.", file=sys.stderr)
    return made["truck"], [], [f"{path}, {Problem(**each)}" for each in made["problems"]]


def _data(option: str, path: str, what: str) -> tuple[bytes, list[Fault]]:
    try:
        return Path(path).read_bytes(), []
    except (OSError, ValueError) as wrong:
        reason = getattr(wrong, "strerror", None) or "there is no such name"
        return b"", [Fault(option, path, f"give {what} that can be read ({reason})")]


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


def _unwritten(wrong: OSError) -> int:
    """What is said where the answer can't be written; what is left of it goes nowhere."""
    if sys.stdout:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if isinstance(wrong, BrokenPipeError):  # the reader stopped early, as head does
        return 0
    with contextlib.suppress(OSError):  # stderr may be as full
        print(f"The answer could not be written: {wrong.strerror}.", file=sys.stderr)
    return 1


if __name__ == "__main__":
    try:
        for stream in filter(None, (sys.stdout, sys.stderr)):
            stream.reconfigure(errors="replace")  # a terminal that can't write × still gets its answer
        if sys.stdout is None:
            raise OSError(errno.EBADF, "there is nowhere to write it to")
        status = main(sys.argv[1:])
        sys.stdout.flush()
    except Mistake as mistake:  # of whoever adds to the guide, in a file of ours
        print(mistake, file=sys.stderr)
        status = 1
    except OSError as unwritten:
        status = _unwritten(unwritten)
    sys.exit(status)
