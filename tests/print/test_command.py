"""python -m print: what it writes, and what it says when it can't."""

import io
import json
import re
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest
from markupsafe import escape
from PIL import Image

import calculators
from macros.pages import Pages
from print import choice, packs, wording
from print.__main__ import main
from print.files import file_name
from print.site import picture
from tests.print.paper import PAGES, SHEETS, printed


def test_lists_the_sheets(capsys):
    assert main([]) == 0
    listed = [line.split()[0] for line in capsys.readouterr().out.splitlines() if line]
    assert listed == [*SHEETS, *choice.packs()]


def test_a_pack_for_a_truck(tmp_path, capsys):
    truck = tmp_path / "my-truck.json"
    truck.write_text(json.dumps(calculators.example_truck("tamarack") | {"name": "../Möwe: 7/8"}), "utf-8-sig")
    assert main(["--truck", str(truck), "--out", str(tmp_path / "new" / "papers")]) == 0
    made = list((tmp_path / "new" / "papers").iterdir())
    assert [file.name for file in made] == ["möwe-7-8.pdf"]
    heard = capsys.readouterr()
    assert heard.out.strip() == str(made[0])
    assert "left out, as nothing told of the truck asks for them: plow-on-off;" in heard.err
    assert len(pypdfium2.PdfDocument(made[0])) == sum(PAGES.get(sheet, 1) for sheet in choice.in_pack("handover") if sheet != "plow-on-off")
    assert made[0].stat().st_size < 400_000


def test_sheets_in_the_order_asked(tmp_path):
    assert main(["--sheets", "monthly-walk-round, glovebox-card", "--out", str(tmp_path)]) == 0
    (made,) = tmp_path.iterdir()
    first = pypdfium2.PdfDocument(made)[0]
    assert first.get_width() < first.get_height() and made.name == "juniper-monthly-walk-round-and-1-more.pdf"


def test_one_sheet_bears_its_name(tmp_path):
    assert main(["--sheets", "glovebox-card", "--out", str(tmp_path), "--paper", "a4"]) == 0
    assert [file.name for file in tmp_path.iterdir()] == ["juniper-glovebox-card.pdf"]


@pytest.mark.parametrize(("asked", "told"), [
    (["--sheets", "shopping-list"], "shopping-list"),
    (["--sheets", " , "], "no sheet is named"),
    (["--sheets", ""], "--sheets has nothing after it"),
    (["--truck", ""], "--truck has nothing after it"),
    (["--fleet", ""], "--fleet has nothing after it"),
    (["--fleet", "fleet.csv", "--calendar", "--truck", "t.json"], "--truck does not go with --fleet"),
    (["--truck", "t.json", "--cluster", "tcp://127.0.0.1:1"], "--cluster does not go with --truck"),
    (["--truck", "t.json", "--tab", "Trucks"], "--tab does not go with --truck"),
    (["--truck", "t.json", "--move-gone"], "--move-gone does not go with --truck"),
    (["--fleet", "fleet.csv", "--truck", "t.json"], "--truck does not go with --fleet"),
    (["--calendar", "--sheets", "glovebox-card"], "--sheets does not go with --calendar"),
    (["--calendar", "--language", "es"], "--language does not go with --calendar"),
    (["--calendar", "--paper", "letter"], "--paper does not go with --calendar"),
    (["--example-fleet", "--truck", "t.json"], "--truck does not go with --example-fleet"),
    (["--sheets", "glovebox-card", "--cluster", "tcp://127.0.0.1:1"], "--cluster does not go with --sheets"),
])
def test_says_what_is_wrong_and_writes_nothing(asked, told, tmp_path, capsys):
    assert main([*asked, *([] if "--site" in asked else ["--out", str(tmp_path)])]) == 2
    heard = capsys.readouterr()
    assert told in heard.err and heard.out == "" and "Traceback" not in heard.err
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(("asked", "told"), [
    (["--truck", "nowhere.json"], "nowhere.json: No such file"), (["--site", "/dev/null/sheets"],
                                                                  "/dev/null/sheets: no folder can be made there"),
    (["--sheets", "service-log", "--out", "/dev/null/x"], "/dev/null/x: no folder can be made there"),
])
def test_what_fails_is_one_sentence_with_the_path(asked, told, capsys):
    """A file or a folder is no fault of what was asked: another exit status."""
    assert main(asked) == packs.FAILED
    heard = capsys.readouterr()
    assert heard.err.startswith(told) and heard.err.count("\n") == 1 and not heard.out


def test_a_sheet_without_spanish_is_made_in_english_and_named_once(tmp_path, capsys):
    lacking = next(name for name in SHEETS if "es" not in wording.languages(name))
    assert main(["--sheets", f"driver-sheet,{lacking}", "--language", "es", "--out", str(tmp_path)]) == packs.GOOD
    assert capsys.readouterr().err == f"no words in 'es', made in English: {lacking}\n"


def test_help_says_what_the_exit_status_means(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    for status in (packs.GOOD, packs.WITH_WARNINGS, packs.LEFT_OUT, packs.FAILED):
        assert f"{status} " in said.split("exit status:")[1]
    for pack in choice.packs():
        assert pack in said


@pytest.mark.parametrize("asked", [["--paper", "a4"], ["--language", "es"], ["--cluster", "tcp://127.0.0.1:1"]])
def test_how_without_what_is_no_list(asked, capsys):
    assert main(asked) == 2
    heard = capsys.readouterr()
    assert f"{asked[0]} alone makes nothing" in heard.err and heard.err.count("\n") == 1 and heard.out == ""


@pytest.mark.parametrize("day", ["abc", "9" * 30])
def test_a_told_day_that_is_none(day, tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", day)
    assert main(["--sheets", "service-log", "--out", str(tmp_path)]) == 2
    heard = capsys.readouterr().err
    assert heard.startswith("SOURCE_DATE_EPOCH: ") and heard.count("\n") == 1 and not list(tmp_path.iterdir())


@pytest.mark.parametrize("text", [
    '{"format": "diesel-handover-truck", "vers',
    '{"format": "diesel-handover-truck", "version": 1, "facts": {"fuel_price": "twelve"}}',
    "[]",
    "",
])
def test_a_truck_that_cannot_be_read(text, tmp_path, capsys):
    truck, out = tmp_path / "truck.json", tmp_path / "out"
    truck.write_text(text, "utf-8")
    assert main(["--truck", str(truck), "--out", str(out)]) == 2
    heard = capsys.readouterr().err
    assert heard.count("\n") == 1 and ":" in heard
    assert not out.exists()


def test_help_in_a_shell():
    run = subprocess.run([sys.executable, "-m", "print", "--help"], capture_output=True, text=True, check=True)
    for option in ("--truck", "--fleet", "--example-fleet", "--sheets", "--out", "--paper", "--language", "--site"):
        assert option in run.stdout


@pytest.mark.parametrize(("name", "file"), [
    ("Juniper", "juniper"), ("  Big  Red ", "big-red"), ("../../etc/passwd", "etc-passwd"), ("=1+1", "1-1"),
    ("…", "truck"), ("雪かき", "雪かき"), ("CON", "con"), ("a" * 200, "a" * 80),
])
def test_file_names(name, file):
    assert file_name(name) == file


@pytest.mark.parametrize("letter", ["a", "雪"])
def test_a_long_name_leaves_the_sheet_s_whole(letter):
    made = [file_name(letter * 80, sheet) for sheet in SHEETS]
    assert all(name.endswith(f"-{sheet}") for name, sheet in zip(made, SHEETS, strict=True))
    assert all(len(name) <= 80 and len(name.encode()) <= 200 and name.startswith(letter * 10) for name in made)


def test_the_page_of_sheets_lists_them_all():
    """Each once, in the table's order, under its group; the page is made from the table."""
    assert "{{ sheets() }}" in (Path(__file__).parents[2] / "docs/sheets.md").read_text("utf-8")
    page = Pages(Path(__file__).parents[2] / "docs").sheets("sheets.md")
    groups = choice.groups().values()
    assert re.findall(r"^## (.*)$", page, re.M) == [group["title"] for group in groups]
    in_order = [name for group in groups for name in group["sheets"]]
    assert sorted(in_order) == sorted(SHEETS)
    for end in ("html", "pdf", "png"):
        assert list(dict.fromkeys(re.findall(rf'"sheets/([\w-]+)\.{end}"', page))) == in_order
    for name in SHEETS:
        assert f"<h3>{escape(wording.words(name, 'en')['title'])}</h3><p>{escape(wording.words(name, 'en')['purpose'])}</p>" in page


@pytest.mark.parametrize("sheet", ["glovebox-card", "service-log", "driver-sheet"])
def test_a_picture_is_as_large_as_the_page_of_sheets_says(sheet):
    page = Pages(Path(__file__).parents[2] / "docs").sheets("sheets.md")
    said = re.search(rf'src="sheets/{sheet}\.png" alt="" width="(\d+)" height="(\d+)"', page)
    assert Image.open(io.BytesIO(picture(printed(sheet)))).size == tuple(map(int, said.groups()))
