"""One table says which sheets there are, in which packs they go, and for which trucks."""

import pytest

import calculators
from calculators.engine.mistakes import Mistake
from print import choice, wording


def truck(**facts):
    return {"name": "A", "facts": facts}


def test_the_table_names_every_sheet_once_and_no_other():
    there = {path.stem for path in wording.SHEETS.glob("[!_]*.html")}
    assert set(choice.names()) == there and len(choice.names()) == len(set(choice.names()))
    assert {path.stem for path in wording.SHEETS.glob("[!_]*.toml")} == there


def test_every_group_and_every_pack_holds_something_and_has_words():
    grouped = [name for group in choice.groups().values() for name in group["sheets"]]
    assert sorted(grouped) == sorted(choice.names())
    for group in choice.groups().values():
        assert group["title"] and group["says"]
    assert list(choice.packs()) == ["handover", "cab", "sale", "yard", "all"]
    for pack, told in choice.packs().items():
        assert len(choice.in_pack(pack)) > 3 and told["title"] and told["says"] and told["pick"]
    assert set(choice.in_pack("all")) == set(choice.names()) - set(choice.of_a_fleet())


@pytest.mark.parametrize(("told", "names", "behind"), [
    ("service-log", ("service-log",), "service-log"), (" Service log , driver-sheet", ("service-log", "driver-sheet"),
                                                       "service-log-and-1-more"),
    ("handover", choice.in_pack("handover"), ""), ("Cab", choice.in_pack("cab"), "cab"),
    ("service-log,service-log", ("service-log",), "service-log-and-0-more"),
])
def test_what_is_asked_for_and_what_its_file_is_called(told, names, behind):
    asked = choice.asked(told)
    assert (asked.names, asked.behind) == (names, behind)


def test_what_is_no_sheet_is_refused_by_name():
    with pytest.raises(choice.NoSuchSheet, match=r"'shopping-list'; packs: handover, cab, sale, yard, all; sheets: handover-checklist"):
        choice.asked("service-log, Shopping list")


@pytest.mark.parametrize(("facts", "plow", "trailer"), [
    ({}, False, False), ({"plow_weight": "800 lb"}, True, False), ({"plow_weight": "0 lb"}, False, False), ({"plow_weight": "360 kg"},
                                                                                                            True, False),
    ({"trailer_weight": "8000 lb"}, False, True), ({"tongue_weight": "900"}, False, True), ({"plow_weight": "rubbish"}, False, False),
])
def test_a_weight_says_what_a_truck_does(facts, plow, trailer):
    sheets = choice.of_truck(choice.asked("cab"), truck(**facts))
    assert ("plow-on-off" in sheets, "trailer-hook-up" in sheets) == (plow, trailer)


@pytest.mark.parametrize(("name", "plow"), [("juniper", True), ("tamarack", False)])
def test_only_the_example_that_plows_gets_the_plow_s_sheet(name, plow):
    assert ("plow-on-off" in choice.of_truck(choice.asked("handover"), calculators.example_truck(name))) == plow


def test_a_sheet_named_by_itself_and_all_are_left_whole():
    assert choice.of_truck(choice.asked("plow-on-off"), truck()) == ("plow-on-off",)
    assert choice.of_truck(choice.asked("all"), truck()) == choice.in_pack("all")


GOOD_ROW = {"name": "plow-on-off", "group": "work", "packs": ["yard"], "when": "plow"}


@pytest.mark.parametrize(("wrong", "said"), [
    ({"group": "wrok"}, "group 'wrok'.*did you mean work"), ({"packs": ["yrad"]}, "packs 'yrad'.*did you mean yard"),
    ({"when": "zeppelin"}, "when 'zeppelin'.*write one of .*plow"), ({"name": "plow-on"}, "no print/sheets/plow-on.toml"),
])
def test_a_slip_in_the_table_is_told_by_sheet_and_the_nearest_name(wrong, said):
    table = wording.read("_sheets")
    choice.look_over(GOOD_ROW, table)
    with pytest.raises(Mistake, match=said):
        choice.look_over(GOOD_ROW | wrong, table)


def test_a_row_without_its_group_says_so():
    with pytest.raises(Mistake, match="plow-on-off has no group and no packs"):
        choice.look_over({"name": "plow-on-off"}, wording.read("_sheets"))


@pytest.mark.parametrize(("words", "said"), [
    ('title.en = "A"\npurpose.en = "B"', "new-sheet.toml has no truck; write .*'named' or 'blank' or 'fleet'"),
    ('title.en = "A"\ntruck = "named"', "has no purpose"),
    ('title.en = "A"\npurpose.en = "B"\ntruck = "nmaed"', "has truck = 'nmaed'; write 'named'"),
])
def test_a_new_sheets_words_say_what_they_lack(tmp_path, monkeypatch, words, said):
    monkeypatch.setattr(wording, "SHEETS", tmp_path)
    (tmp_path / "new-sheet.toml").write_text(words)
    with pytest.raises(Mistake, match=said):
        wording.read("new-sheet")
