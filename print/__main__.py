"""python -m print: sheets for one truck as PDF, packs for a fleet, and the site's own sheets."""

import argparse
import json
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import calculators
from calculators.engine.mistakes import Mistake
from pieces.numbers import UnknownNumber
from pieces.wording import LANGUAGES
from print import choice, fleet, letters, packs, sheet
from print.crew import NoCluster
from print.day import WrongDay, told_day
from print.files import file_name, write
from print.order import PAPERS, Order
from print.packs import FAILED, GOOD, LEFT_OUT, WITH_WARNINGS
from print.spreadsheet import Unreadable

NO_RECORD = "no record of any job yet, so there is no date to write: tell when one was last done"
USES: dict[str, set[str]] = {  # what is asked for, and the options that go with it
    "site": {"paper"},
    "example_fleet": set(),
    "fleet": {"sheets", "out", "paper", "language", "cluster", "tab", "move_gone", "calendar", "book"},
    "calendar": {"truck", "out"},
    "truck": {"sheets", "out", "paper", "language"},
    "sheets": {"out", "paper", "language"},
    "out": {"paper", "language"},
}
START_FROM = "; `python -m print --example-fleet > fleet.csv` makes one to start from"
STATUSES = (f"exit status: {GOOD} all is good (columns that were left out are no warning), {WITH_WARNINGS} some value deserves a look, "
            f"{LEFT_OUT} something was refused, as a row of a fleet, {FAILED} it failed: a file, a folder, a disk or a cluster")


class Asked(NamedTuple):
    """What is asked for; what is not told is meant so."""

    site: str = ""
    example_fleet: bool = False
    truck: str = ""
    fleet: str = ""
    sheets: str = ""
    out: str = ""
    paper: str = "letter"
    language: str = "en"
    cluster: str = ""
    tab: str = ""
    move_gone: bool = False
    calendar: bool = False
    book: str = ""


class Unclear(ValueError):
    """What was asked for can't be done as it was asked."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Print what was asked for; the exit status says whether it went well."""
    told = vars(_reader().parse_args(arguments))
    try:
        return _do(told)
    except (Unclear, WrongDay, choice.NoSuchSheet, sheet.NotInThatLanguage, Unreadable, UnknownNumber) as wrong:
        return _complain(LEFT_OUT, f"{told['fleet']}: {wrong}" if isinstance(wrong, Unreadable) else str(wrong))
    except calculators.Refused as refused:
        return _complain(LEFT_OUT, *map(_fault, refused.faults))
    except (NoCluster, Mistake, OSError) as wrong:
        lacks_fleet = isinstance(wrong, FileNotFoundError) and str(wrong.filename) == told.get("fleet")
        return _complain(FAILED, _failure(wrong) + START_FROM * lacks_fleet)


def _do(told: Mapping[str, Any]) -> int:
    if not told:
        return _list()
    what = _what(told)
    make: dict[str, Callable[[Asked], int]] = {"site": _site, "example_fleet": _example_fleet, "fleet": _fleet, "calendar": _calendar}
    return make.get(what, _pack)(Asked(**told))


def _what(told: Mapping[str, Any]) -> str:
    """What is asked for; nothing that was told is passed over in silence."""
    for option, value in told.items():
        if value == "":
            raise Unclear(f"{_option(option)} has nothing after it: write what {_option(option)} shall be, or leave it out")
    what = next((each for each in USES if each in told), None)
    if not what:
        raise Unclear(f"{_option(min(told))} alone makes nothing: name --truck, --sheets, --out or --fleet too")
    for option in told:
        if option != what and option not in USES[what]:
            raise Unclear(f"{_option(option)} does not go with {_option(what)}: leave one of them out")
    return what


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _reader() -> argparse.ArgumentParser:
    reader = argparse.ArgumentParser(
        prog="python -m print",
        description="Sheets for a truck as PDF, ready to print. Without options: the sheets there are.",
        epilog=f"example: python -m print --truck my-truck.json --sheets glovebox-card --out papers · {STATUSES}",
        argument_default=argparse.SUPPRESS,  # what isn't told isn't there: Asked holds what is meant then
    )
    reader.add_argument("--truck", metavar="my-truck.json", help="the truck, as My truck saves it (otherwise the example truck)")
    reader.add_argument("--sheets", metavar="NAME,NAME",
                        help=f"which sheets, in this order, or {', '.join(choice.packs())} (otherwise handover: what goes with the keys)")
    reader.add_argument("--out", metavar="FOLDER", help="where the PDF goes (otherwise here)")
    reader.add_argument("--paper", choices=PAPERS, help="letter or a4 (otherwise letter)")
    reader.add_argument("--language", choices=LANGUAGES,
                        help="the language that comes first (otherwise en); a sheet without words in it is made in English")
    reader.add_argument("--fleet", metavar="fleet.csv", help="a pack for every truck of a fleet’s .csv or .xlsx, a row each; needs --out")
    reader.add_argument("--tab", metavar="NAME", help="the workbook’s sheet that holds the trucks (otherwise the one with such headings)")
    reader.add_argument("--book", metavar="entries.csv",
                        help="a fleet’s entries, a row each, their truck by VIN, unit or name: readings, fills, jobs")
    reader.add_argument("--move-gone", action="store_true", help="move the packs of trucks that the fleet’s file no longer names aside")
    reader.add_argument("--cluster", metavar="ADDRESS", help="let a Dask cluster make a fleet's packs")
    reader.add_argument("--example-fleet", action="store_true", help="print a CSV to start a fleet from")
    reader.add_argument("--calendar", action="store_true",
                        help="write the service dates as iCalendar and no sheets, with --fleet those of all trucks")
    reader.add_argument("--site", metavar="FOLDER", help="write every sheet of the example truck as page, PDF and picture, for the site")
    return reader


def _list() -> int:
    for name in choice.names():
        print(f"{name:24} {sheet.purpose(name)}")
    print()
    for name, told in choice.packs().items():
        print(f"{name:24} {told['says']}: {', '.join(choice.in_pack(name)) if name != choice.ALL else 'all of these'}")
    return GOOD


def _example_fleet(_: Asked) -> int:
    sys.stdout.write(fleet.example(str(_today())))
    return GOOD


def _site(asked: Asked) -> int:
    from print import site  # it lays out, and what does takes half a second to load

    count = site.build(Path(asked.site), asked.paper)
    print(f"{count} sheets in {asked.site}")
    return GOOD


def _pack(asked: Asked) -> int:
    from print.pack import pack

    truck, what = _truck(asked), _sheets(asked)
    name, sheets = sheet.name_of(truck), choice.of_truck(what, truck or calculators.example_truck(sheet.EXAMPLE))
    _left_out(what, sheets)
    _without_words(asked, sheets)
    order = Order(sheets, asked.paper, asked.language, str(_today()), packs.title(what, sheets))
    target = Path(asked.out) / f"{file_name(name, what.behind)}.pdf"
    _note("name", name)
    write(target, pack(truck, order))
    print(target)
    return GOOD


def _sheets(asked: Asked) -> choice.Asked:
    what = choice.asked(asked.sheets or choice.HANDOVER)
    if not what.names:
        raise Unclear(f"--sheets {asked.sheets}: no sheet is named: write names with commas between; without options, all are listed")
    return what


def _left_out(what: choice.Asked, sheets: Sequence[str]) -> None:
    if lacking := [name for name in what.names if name not in sheets]:
        _complain(GOOD, f"left out, as nothing told of the truck asks for them: {', '.join(lacking)}; --sheets NAME prints one anyway")


def _without_words(asked: Asked, sheets: Sequence[str]) -> None:
    if lacking := [name for name in sheets if sheet.language(name, asked.language) != asked.language]:
        _complain(GOOD, f"no words in {asked.language!r}, made in English: {', '.join(lacking)}")


def _calendar(asked: Asked) -> int:
    truck = _truck(asked) or calculators.example_truck(sheet.EXAMPLE)
    made = calculators.calendar(truck, str(_today()))
    if not made:
        return _complain(LEFT_OUT, f"{truck['name']}: {NO_RECORD}")
    target = Path(asked.out) / f"{file_name(truck['name'])}.ics"
    write(target, made)
    print(target)
    return GOOD


def _truck(asked: Asked) -> dict[str, Any] | None:
    """The truck that is told, whole; None if none is."""
    if not asked.truck:
        return None
    truck, faults = calculators.read_truck(Path(asked.truck).read_text("utf-8-sig", errors="replace"))
    if truck is None or faults:
        raise calculators.Refused(faults)
    return truck


def _fleet(asked: Asked) -> int:
    """Every good row gets its pack; the exit status says whether all of the file was."""
    if not asked.out:
        raise Unclear("--fleet needs --out FOLDER, where its files go")
    what = _sheets(asked)
    _without_words(asked, what.names)
    job = packs.Job(Path(asked.fleet), Path(asked.out), what, bool(asked.sheets), asked.paper, asked.language, _today(), asked.tab,
                    asked.cluster, asked.calendar, asked.move_gone, Path(asked.book) if asked.book else None)
    return packs.make(job, print, lambda line: _complain(GOOD, line))


def _today() -> date:
    """The real day, or the one that a repeatable run is told."""
    return told_day() or date.today()


def _fault(fault: calculators.Fault) -> str:
    return f"{fault.field}: {json.dumps(fault.given, ensure_ascii=False, default=str)[:60]}: {fault.do}"


def _failure(wrong: Exception) -> str:
    """One sentence with the path."""
    if not isinstance(wrong, OSError) or not wrong.errno:
        return str(wrong)
    return f"{wrong.filename or tempfile.gettempdir()}: {wrong.strerror}"


def _note(place: str, name: str) -> None:
    if note := letters.note(name):
        _complain(GOOD, f"{place}: {name[:60]!r}: {note}")


def _complain(status: int, *lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return status


if __name__ == "__main__":
    sys.exit(main())
