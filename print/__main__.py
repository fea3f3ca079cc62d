"""python -m print: sheets for one truck as PDF, and the site's own sheets."""

import argparse
import json
import os
import sys
import unicodedata
from datetime import UTC, date, datetime
from pathlib import Path

import calculators
from print import pdf, sheet, site
from print.files import write
from print.numbers import UnknownNumber

USED_WRONGLY = 2


def main(arguments=None):
    """Print what was asked for; the exit status says whether it went well."""
    asked = _reader().parse_args(arguments)
    try:
        if asked.site:
            return _site(asked)
        if asked.truck or asked.sheets or asked.out:
            return _pack(asked)
    except (sheet.NoSuchSheet, sheet.NotInThatLanguage, UnknownNumber, OSError) as wrong:
        return _complain(str(wrong))
    except calculators.Refused as refused:
        return _complain(*map(_fault, refused.faults))
    for name in sheet.names():
        print(f"{name:20} {sheet.purpose(name)}")
    return 0


def _reader():
    reader = argparse.ArgumentParser(
        prog="python -m print",
        description="Sheets for a truck as PDF, ready to print. Without options: the sheets there are.",
        epilog="example: python -m print --truck my-truck.json --sheets glovebox-card --out papers",
    )
    reader.add_argument("--truck", metavar="my-truck.json", help="the truck, as My truck saves it (otherwise the example truck)")
    reader.add_argument("--sheets", metavar="NAME,NAME", help="which sheets, in this order (otherwise all)")
    reader.add_argument("--out", metavar="FOLDER", default="", help="where the PDF goes (otherwise here)")
    reader.add_argument("--paper", choices=pdf.PAPERS, default="letter", help="letter or a4 (otherwise letter)")
    reader.add_argument("--language", choices=sheet.LANGUAGES, default="en", help="the language that comes first (otherwise en)")
    reader.add_argument("--site", metavar="FOLDER", help="write every sheet of the example truck as page, PDF and picture, for the site")
    return reader


def _site(asked):
    count = site.build(Path(asked.site), asked.paper)
    print(f"{count} sheets in {asked.site}")
    return 0


def _pack(asked):
    truck = None
    if asked.truck:
        truck, faults = calculators.read_truck(Path(asked.truck).read_text("utf-8-sig", errors="replace"))
        if truck is None or faults:
            return _complain(*map(_fault, faults))
    chosen = [name.strip() for name in asked.sheets.split(",")] if asked.sheets else sheet.names()
    today = _today()
    pages = [pdf.lay_out(sheet.render(name, truck, asked.language, today), asked.paper) for name in chosen]
    name = (truck or calculators.example_truck(sheet.EXAMPLE))["name"]
    target = Path(asked.out) / f"{file_name(name if len(chosen) > 1 else f'{name} {chosen[0]}')}.pdf"
    write(target, pdf.pack(pages))
    print(target)
    return 0


def _today():
    """The real day, or the one that a repeatable run is told."""
    told = os.environ.get("SOURCE_DATE_EPOCH")
    return datetime.fromtimestamp(int(told), UTC).date() if told else date.today()


def file_name(name):
    """A truck's name as a file's: letters and digits of any script, dashes between, nothing a folder or a shell minds."""
    kept = "".join(letter if letter.isalnum() else " " for letter in unicodedata.normalize("NFC", name))
    return "-".join(kept.split())[:80].lower() or "truck"


def _fault(fault):
    return f"{fault.field}: {json.dumps(fault.given, ensure_ascii=False, default=str)[:60]}: {fault.do}"


def _complain(*lines):
    for line in lines:
        print(line, file=sys.stderr)
    return USED_WRONGLY


if __name__ == "__main__":
    sys.exit(main())
