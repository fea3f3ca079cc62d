"""python -m print: sheets for one truck as PDF, and the site's own sheets."""

import argparse
import json
import sys
from contextlib import closing
from datetime import date
from pathlib import Path

from tqdm import tqdm

import calculators
from pieces.numbers import UnknownNumber
from pieces.wording import LANGUAGES
from print import fleet, letters, pdf, sheet, site
from print.day import WrongDay, told_day
from print.files import file_name, make_folder, write
from print.pack import Order, pack

ROWS_LEFT_OUT = 1
USED_WRONGLY = 2


NO_RECORD = "no record of any job yet, so there is no date to write: tell when one was last done"
USES = {  # what is asked for, and the options that go with it
    "site": {"paper"},
    "example_fleet": set(),
    "calendar": {"truck", "fleet", "out"},
    "fleet": {"sheets", "out", "paper", "language", "cluster"},
    "truck": {"sheets", "out", "paper", "language"},
    "sheets": {"out", "paper", "language"},
    "out": {"paper", "language"},
}
OTHERWISE = {"truck": None, "fleet": None, "sheets": None, "out": "", "paper": "letter", "language": "en", "cluster": ""}


class Unclear(ValueError):
    """What was asked for can't be done as it was asked."""


def main(arguments=None):
    """Print what was asked for; the exit status says whether it went well."""
    told = vars(_reader().parse_args(arguments))
    try:
        return _do(told)
    except (Unclear, WrongDay, sheet.NoSuchSheet, sheet.NotInThatLanguage, fleet.NoCluster, UnknownNumber, OSError) as wrong:
        return _complain(str(wrong))
    except calculators.Refused as refused:
        return _complain(*map(_fault, refused.faults))


def _do(told):
    if not told:
        return _list()
    what = _what(told)
    asked = argparse.Namespace(**OTHERWISE | told)
    return {"site": _site, "example_fleet": _example_fleet, "fleet": _fleet, "calendar": _calendar}.get(what, _pack)(asked)


def _what(told):
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
    if {"truck", "fleet"} <= set(told):
        raise Unclear("--truck does not go with --fleet: leave one of them out")
    return what


def _option(name):
    return f"--{name.replace('_', '-')}"


def _reader():
    reader = argparse.ArgumentParser(
        prog="python -m print",
        description="Sheets for a truck as PDF, ready to print. Without options: the sheets there are.",
        epilog="example: python -m print --truck my-truck.json --sheets glovebox-card --out papers",
        argument_default=argparse.SUPPRESS,  # what isn't told isn't there: OTHERWISE holds what is meant then
    )
    reader.add_argument("--truck", metavar="my-truck.json", help="the truck, as My truck saves it (otherwise the example truck)")
    reader.add_argument("--sheets", metavar="NAME,NAME", help="which sheets, in this order (otherwise all that go with the keys)")
    reader.add_argument("--out", metavar="FOLDER", help="where the PDF goes (otherwise here)")
    reader.add_argument("--paper", choices=pdf.PAPERS, help="letter or a4 (otherwise letter)")
    reader.add_argument("--language", choices=LANGUAGES, help="the language that comes first (otherwise en)")
    reader.add_argument("--fleet", metavar="fleet.csv", help="a pack for every truck of a fleet, a row each; needs --out")
    reader.add_argument("--cluster", metavar="ADDRESS", help="let a Dask cluster make a fleet's packs")
    reader.add_argument("--example-fleet", action="store_true", help="print a CSV to start a fleet from")
    reader.add_argument("--calendar", action="store_true",
                        help="write the service dates as iCalendar instead of sheets, with --fleet those of all trucks")
    reader.add_argument("--site", metavar="FOLDER", help="write every sheet of the example truck as page, PDF and picture, for the site")
    return reader


def _list():
    for name in sheet.names():
        print(f"{name:20} {sheet.purpose(name)}")
    return 0


def _example_fleet(_):
    sys.stdout.write(fleet.example())
    return 0


def _site(asked):
    count = site.build(Path(asked.site), asked.paper)
    print(f"{count} sheets in {asked.site}")
    return 0


def _pack(asked):
    truck, order = _truck(asked), _order(asked)
    name, chosen = sheet.name_of(truck), order.sheets
    target = Path(asked.out) / f"{file_name(name, '' if len(chosen) > 1 else chosen[0])}.pdf"
    _note("name", name)
    write(target, pack(truck, order))
    print(target)
    return 0


def _calendar(asked):
    if asked.fleet:
        return _fleet_calendar(asked)
    truck = _truck(asked) or calculators.example_truck(sheet.EXAMPLE)
    made = calculators.calendar(truck, str(_today()))
    if not made:
        return _complain(f"{truck['name']}: {NO_RECORD}")
    target = Path(asked.out) / f"{file_name(truck['name'])}.ics"
    write(target, made)
    print(target)
    return 0


def _fleet_calendar(asked):
    """One file for all trucks that have a record; what can't be used is told as for packs."""
    out = _fleet_folder(asked)
    rows, problems = fleet.read(Path(asked.fleet).read_bytes())
    made, bare, wrong = fleet.service_dates(rows, str(_today()))
    for row in bare:
        print(f"row {row.number}, {row.truck['name'][:60]!r}: {NO_RECORD}", file=sys.stderr)
    problems += wrong
    if made:
        write(out / "_service-dates.ics", made)
        print(out / "_service-dates.ics")
    return _tell(problems, out) or (0 if made else USED_WRONGLY)


def _truck(asked):
    """The truck that is told, whole; None if none is."""
    if not asked.truck:
        return None
    truck, faults = calculators.read_truck(Path(asked.truck).read_text("utf-8-sig", errors="replace"))
    if truck is None or faults:
        raise calculators.Refused(faults)
    return truck


def _order(asked):
    """Which sheets, how; all of a truck's own and the shared ones if none are named."""
    if asked.sheets:
        chosen = [name.strip() for name in asked.sheets.split(",") if name.strip()]
        if not chosen:
            raise Unclear(f"--sheets {asked.sheets}: no sheet is named: write names with commas between; without options, all are listed")
    else:
        chosen = [name for name in sheet.names() if sheet.in_pack(name) and asked.language in sheet.languages(name)]
        left = [name for name in sheet.names() if sheet.in_pack(name) and name not in chosen]
        if left:
            print(f"no words in {asked.language!r}, left out: {', '.join(left)}", file=sys.stderr)
    for name in chosen:
        sheet.check(name, asked.language)
    return Order(tuple(dict.fromkeys(chosen)), asked.paper, asked.language, str(_today()))


def _fleet(asked):
    """Every good row gets its pack; the exit status says whether all of the file was."""
    out = _fleet_folder(asked)
    order = _order(asked)
    rows, problems = fleet.read(Path(asked.fleet).read_bytes())
    for row in rows:
        _note(f"row {row.number}, name", row.truck["name"])
    make_folder(out)
    with closing(fleet.build(rows, out, order, asked.cluster)) as packs:  # closed at once when broken off: it keeps what is made
        for wrong in tqdm(packs, total=len(rows), unit="pack", disable=None):
            problems += wrong
    bad = {problem.row for problem in problems}
    good = [row.truck for row in rows if row.number not in bad]
    if good and not asked.sheets and asked.language == "en":
        overview = sheet.render("fleet-overview", good[0], today=order.today, fleet=good)
        write(out / "_fleet-overview.pdf", pdf.write([pdf.lay_out(overview, asked.paper)]))
    left_out = _tell(problems, out)
    print(f"{len(good)} {'pack' if len(good) == 1 else 'packs'} in {out}")
    return left_out


def _fleet_folder(asked):
    if not asked.out:
        raise Unclear("--fleet needs --out FOLDER, where its files go")
    return Path(asked.out)


def _tell(problems, out):
    """What can't be used, here and in the folder; the exit status."""
    report = out / "problems.csv"
    if not problems:
        report.unlink(missing_ok=True)
        return 0
    write(report, fleet.problems_csv(sorted(problems)))
    _complain(*map(str, sorted(problems)))
    return ROWS_LEFT_OUT


def _today():
    """The real day, or the one that a repeatable run is told."""
    return told_day() or date.today()


def _fault(fault):
    return f"{fault.field}: {json.dumps(fault.given, ensure_ascii=False, default=str)[:60]}: {fault.do}"


def _note(place, name):
    if note := letters.note(name):
        print(f"{place}: {name[:60]!r}: {note}", file=sys.stderr)


def _complain(*lines):
    for line in lines:
        print(line, file=sys.stderr)
    return USED_WRONGLY


if __name__ == "__main__":
    sys.exit(main())
