"""Copies of one truck become one: their books by union, all else by the copy that was saved last, and nothing is lost."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from calculators.engine.entries import canonical, merge
from calculators.engine.truck import moment, upgraded

_PARTS = ("identity", "facts", "interval")
_OF_THE_COPY = ("format", "version", "id", "saved_at", "site_version", "book", "aside")

Place = tuple[str, str]  # a part of the file ("" is its top), and the name there


class NotOneTruck(ValueError):
    """The copies are of two trucks."""


def united(*copies: Mapping[str, Any]) -> dict[str, Any]:
    """One truck of several copies of it, in any order the same.

    Identity, facts and intervals of the copy saved last win whole; what the others tell differently is put aside, under ``aside``:
    its part, key and value, and when it was saved last. No entry is ever put aside: the books are united.
    """
    trucks = [upgraded(copy) for copy in copies]
    if len({truck["id"] for truck in trucks}) != 1:
        raise NotOneTruck("these are two trucks: they have different ids")
    last = max(trucks, key=lambda truck: (moment(truck.get("saved_at")), canonical([*_values(truck), truck.get("site_version")])))
    book = merge(*(truck["book"] for truck in trucks), truck=str(last["name"]))
    aside = _aside(trucks, dict(_values(last)))
    kept = {key: told for key, told in last.items() if key != "aside"}
    return {**kept, "version": max(truck["version"] for truck in trucks), "book": book} | ({"aside": aside} if aside else {})


def _values(truck: Mapping[str, Any]) -> list[tuple[Place, Any]]:
    """Every value that a copy tells, by its place."""
    return sorted(_told(truck), key=lambda one: one[0])


def _told(truck: Mapping[str, Any]) -> Iterator[tuple[Place, Any]]:
    for part in _PARTS:
        for key, told in truck.get(part, {}).items():
            if part == "interval" and isinstance(told, dict):
                yield from (((part, f"{key}.{what}"), one) for what, one in told.items())
            else:
                yield (part, key), told
    yield from ((("", key), told) for key, told in truck.items() if key not in (*_PARTS, *_OF_THE_COPY))


def _aside(trucks: Iterable[Mapping[str, Any]], wins: Mapping[Place, Any]) -> list[dict[str, Any]]:
    """What was told elsewhere and differently, each value once, with the time at which it was saved last."""
    found: dict[tuple[Place, str], tuple[Any, Any]] = {}
    for truck in trucks:
        for place, value, saved_at in (*_put_aside(truck), *((*one, truck.get("saved_at")) for one in _values(truck))):
            text = canonical(value)
            if place not in wins or text != canonical(wins[place]):
                known = found.get((place, text), (value, saved_at))
                found[place, text] = max(known, (value, saved_at), key=lambda one: (moment(one[1]), canonical(one[1])))
    return [{"part": part, "key": key, "value": value, "saved_at": saved_at}
            for ((part, key), _), (value, saved_at) in sorted(found.items(), key=lambda one: one[0])]


def _put_aside(truck: Mapping[str, Any]) -> Iterator[tuple[Place, Any, Any]]:
    """What an earlier union put aside."""
    for one in truck.get("aside", ()):
        if isinstance(one, dict) and isinstance(one.get("part"), str) and isinstance(one.get("key"), str):
            yield (one["part"], one["key"]), one.get("value"), one.get("saved_at")
