"""One table says which sheets there are, in which packs they go, and for which trucks."""

import pytest

import calculators
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
