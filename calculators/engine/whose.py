"""Whose a value is, in words: beside it, and of a whole answer in a line."""

from collections.abc import Mapping
from typing import Any

from calculators.engine.due import USUAL
from calculators.engine.figures import WHOSE, figure_of
from calculators.engine.show import spoken, words

_OF = {"given": "yours", "truck": "yours", "book": "book"}  # whose an input is, by where it is from
NOTHING_YET = "Rests on nothing yet: what it needs is not told."


def whose(value: Mapping[str, Any]) -> dict[str, str]:
    """The word beside a result, by what it rests on, or beside an input, by where it is from; none where it is nobody's."""
    origin = value.get("from", "")
    usual = "" if origin != "example" else "example" if value.get("kind") == "example" else "usual"
    key = value.get("rests_on") or _OF.get(origin) or usual
    return {"whose": WHOSE[key]} if key else {}


def rests_line(answered: Mapping[str, Any]) -> str:
    """On how many numbers of the owner's and of the example's an answer rests, which are the example's, and what is only usual."""
    lists = (rows for rows in answered["results"].values() if isinstance(rows, list))
    usual = any(row.get("by_usual_interval", {}).get("value") for rows in lists for row in rows)
    return f"{_rests_on(answered)}{f' {USUAL}' if usual else ''}"


def _rests_on(answered: Mapping[str, Any]) -> str:
    headline = [result for name in answered.get("headline", ()) if isinstance(result := answered["results"].get(name), dict)]
    if headline and all(result["value"] is None and "tell" in result for result in headline):
        return NOTHING_YET
    examples = answered.get("assumes", [])
    counts = [(_told(answered), "yours"), (len(examples), "the example’s")]
    parts = [(count, of) for count, of in counts if count]
    if not parts:
        own = any(value.get("rests_on") == "yours" for value in answered["results"].values() if isinstance(value, dict))
        if own:
            return "Rests on your own records."
        untold = any("tell" in value for value in answered["results"].values() if isinstance(value, dict))
        return NOTHING_YET if untold else "Rests on numbers of the trade alone."
    count, of = parts[0]
    said = [f"{count} number{'s' if count > 1 else ''} of {of}", *(f"{count} of {of}" for count, of in parts[1:])]
    return f"Rests on {' and '.join(said)}{': ' if examples else ''}{', '.join(map(spoken, examples))}."


def _told(answered: Mapping[str, Any]) -> int:
    """How many numbers its owner told: what one entry of the book tells of many inputs, as a delivery of every job, is told once."""
    inputs = answered.get("inputs", {})
    return len({(one["value"], *one["entries"]) if (one := inputs.get(name, {})).get("entries") else name
                for name in answered.get("yours", [])})


def turning(answered: Mapping[str, Any], metric: bool) -> dict[str, Any]:
    """What turns the verdict, in words: its question, what it is now and where it turns, and all of it in a line."""
    turns = answered.get("turns")
    if not turns:
        return {}
    key, entry = turns["input"], figure_of(turns["input"])
    unit = entry.unit if entry else ""
    now, there = (words(value, unit, exact=True, metric=metric).phrase for value in (answered["inputs"][key]["value"], turns["at"]))
    verdict = words(turns["verdict"]).phrase
    return {"turns": turns | {
        "question": entry.question if entry else key, "phrase": now, "at_phrase": there, "verdict_phrase": verdict,
        "text": f"This leans on an example: {spoken(key)}, {now}. At {there} it says: {verdict}.",
    }}
