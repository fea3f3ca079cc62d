"""Which truck is which, and what its files are called, whatever the order of the rows."""

import itertools
import random

import pytest

from print.memory import Memory
from print.roster import Who, file_names, label, made_id, same, who


def test_spelling_makes_no_other_truck():
    assert who("  Big  RED ", {"unit": " 12a ", "vin": "1g4ah59h4-5g118341"}) == Who("1G4AH59H45G118341", "12a", "big red")


@pytest.mark.parametrize(("one", "other", "are"), [
    (Who("A", "1", "x"), Who("A", "2", "y"), True), (Who("A", "1", "x"), Who("B", "1", "x"), False), (Who("", "1", "x"), Who("B", "1",
                                                                                                                             "y"), True),
    (Who("", "", "x"), Who("B", "", "x"), True), (Who("", "1", "x"), Who("", "2", "x"), False), (Who("", "1", "x"), Who("", "", "x"),
                                                                                                 False),
])
def test_a_vin_says_more_than_a_unit_and_a_unit_more_than_a_name(one, other, are):
    assert same(one, other) == same(other, one) == are


def test_ids_are_the_same_in_every_folder_and_order(tmp_path):
    trucks = [Who("A", "1", "x"), Who("", "2", "x"), Who("", "", "y"), Who("B", "", "z")]
    wanted = dict(zip(trucks, Memory(tmp_path / "a").ids(trucks), strict=True))
    assert len(set(wanted.values())) == 4 and wanted[trucks[0]] == made_id("vin:A")
    for order in itertools.permutations(trucks):
        assert dict(zip(order, Memory(tmp_path / "b").ids(order), strict=True)) == wanted


def remembered(folder, *trucks):
    memory = Memory(folder)
    for truck, own in zip(trucks, memory.ids(trucks), strict=True):
        memory.truck(own, truck, own, own)
    return memory


def test_a_known_truck_keeps_its_id_and_no_two_share_one(tmp_path):
    """By VIN first: the truck that took over a unit number is not the one that had it."""
    before = remembered(tmp_path, Who("A", "12", "x"))
    old = before.ids([Who("A", "12", "x")])[0]
    now = [Who("", "12", "new"), Who("A", "13", "x")]
    first, second = before.ids(now)
    assert second == old != first
    assert Memory(tmp_path).ids(now[::-1]) == [second, first]


def test_a_list_outlives_what_killed_its_run(tmp_path):
    memory = remembered(tmp_path, Who("A", "12", "x"))
    memory.tell(pack="a.pdf", truck="t", holds="", made_from="f", shown="s", sha256="d")
    with (tmp_path / ".packs.jsonl").open("a") as file:
        file.write('{"pack": "half')
    again = Memory(tmp_path)
    assert again.packs == memory.packs and again.trucks == memory.trucks
    again.tell(gone=next(iter(again.trucks)))
    again.close()
    assert Memory(tmp_path).trucks == {} and Memory(tmp_path).packs == memory.packs


@pytest.mark.parametrize(("name", "unit", "shown"), [
    ("Oak", "12", "12 Oak"), ("Unit 12", "12", "Unit 12"), ("12", "12", "12"), ("Oak", "", "Oak"), ("Truck 12 north", "12",
                                                                                                    "Truck 12 north"),
    ("Truck 120", "12", "12 Truck 120"),
])
def test_a_label_names_the_unit_once(name, unit, shown):
    assert label(name, unit) == shown


def test_file_names_go_by_truck_not_by_row():
    names = {"id1": "Oak", "id2": "oak", "id3": "Oak/2", "id4": "Elm", "id5": "oak-2"}
    wanted = file_names(names, {})
    assert len({name.casefold() for name in wanted.values()}) == 5 and wanted["id4"] == "elm"
    for seed in range(20):
        order = list(names)
        random.Random(seed).shuffle(order)
        assert file_names({each: names[each] for each in order}, {}) == wanted


def test_a_newcomer_takes_no_other_s_file_name():
    first = file_names({"b": "Oak"}, {})
    assert file_names({"a": "Oak", "b": "Oak"}, first) == {"b": "oak", "a": "oak-2"}
    assert file_names({"a": "Oak"}, first) == {"a": "oak-2"}  # b is only gone from the file; its pack is still there
    assert file_names({"b": "Elm"}, first) == {"b": "elm"}
