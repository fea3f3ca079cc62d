"""An answer as a card shows it: looks, lines and words, each ready for its place. Data alone; HTML is made of it elsewhere."""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from calculators.engine.plain import cited

type Say = Callable[..., Any]  # how texts are told in a line: as they stand, or in two languages beside each other
type Value = Mapping[str, Any]

HOLE = "{}"
LOOKS = {"fits": "fits", "watch": "watch", "against": "against", "stop_now": "stop", "stop_soon": "watch"}
SIGNS = {"fits": "on", "watch": "soon", "against": "against", "stop": "stop"}  # each look's sign
LEVELS = ("verdict", "stop_level")  # results that say what to do, and how urgently
_SHOWN = ("value", "unit", "number", "shown", "phrase", "from", "text", "rests_on", "tell", "least")  # of a value, what a page needs
_OWNERS = ("given", "book", "truck")
_MADE_OF = 3  # rows a slip begins with: it is read in one look
_LETTERS = re.compile(r"[^\W\d_]{2}")


def as_it_stands(*texts: str) -> str:
    """Texts in a line."""
    return ", ".join(texts)


def view(answered: Value, say: Say = as_it_stands) -> dict[str, Any]:
    """A worded answer as its card shows it, each text told by ``say``."""
    results = answered["results"]
    shown: dict[str, Any] = {name: rows(value, say) if isinstance(value, list) else cell(value, say) for name, value in results.items()}
    levels = {name: shown[name] | {"shown": say(sentence_case(results[name]["number"]))} for name in LEVELS if name in results}
    made = {
        "calculator": answered["calculator"],
        "answer": say(answered["answer"]),
        "look": look_of(results),
        "sign": SIGNS.get(look_of(results), ""),
        "asks": asks(answered, say),
        "inputs": {name: cell(value) | _owned(value) for name, value in answered["inputs"].items()},
        "results": shown | levels,
        "cautions": [c | {"hazard": say(c["hazard"]), "text": say(c["text"])} for c in answered["cautions"]],
        "sources": source_lines(answered["sources"], say),
        **{name: answered[name] for name in ("own", "answer_rests_on", "yours", "assumes", "turns") if name in answered},
        **{name: say(answered[name]) for name in ("answer_whose", "rests") if name in answered},
    }
    working = [step(one, say) | {"made": made_of(one, answered)} for one in answered.get("working", ())]
    return made | ({"working": working} if "working" in answered else {})


def asks(answered: Value, say: Say = as_it_stands) -> dict[str, Any] | None:
    """The one input to ask for beside the verdict, and why: what only the owner can tell, or what of the example's would turn it."""
    verdict, turns = answered["results"].get("verdict", {}), answered.get("turns")
    if tell := verdict.get("tell"):
        return {"input": tell[0], "why": say(sentence(verdict["phrase"]))}
    return {"input": turns["input"], "why": say(turns["text"])} if turns else None


def _owned(value: Value) -> dict[str, Any]:
    """What an input that follows from no other rests on: its owner's word, or the example's; a number of the trade is nobody's."""
    owners = {"rests_on": "yours"} if value.get("from") in _OWNERS else {}
    return owners or ({"rests_on": "example"} if value.get("from") == "example" and value.get("kind") == "example" else {})


def sentence(text: str) -> str:
    """Words as a sentence."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def look_of(results: Value) -> str:
    """By its verdict: fits, watch, against or stop; plain where it has none."""
    return next((LOOKS.get(results[name]["value"], "plain") for name in LEVELS if name in results), "plain")


def cell(value: Value, say: Say = as_it_stands) -> dict[str, Any]:
    """A value with its words and its look; words that are no number are told by ``say``."""
    kind = look(value)
    told = {name: say(value[name]) for name in ("number", "shown", "phrase")} if kind in ("words", "why") else {}
    named = {name: say(value[name]) for name in ("label", "whose") if name in value}
    return {name: one for name, one in value.items() if name in _SHOWN} | named | told | {"look": kind}


def rows(listed: Iterable[Value], say: Say = as_it_stands) -> list[dict[str, Any]]:
    """The cells of a list, a row after another."""
    return [{name: cell(value, say) for name, value in row.items()} for row in listed]


def look(value: Value) -> str:
    """What is no number: a day, words, or why there is nothing."""
    told = value["value"]
    return "why" if told is None else "when" if day_of(told) else "words" if isinstance(told, str | bool) else ""


def step(one: Value, say: Say = as_it_stands) -> dict[str, Any]:
    """A step of the working: what it says, its result, and the lines under it."""
    result = one["result"]
    worked = f"= {one['worked']}" if one.get("worked") else ""
    lines = [one.get("formula"), worked, one.get("because") and f"because {one['because']}",
             result["phrase"] if result["value"] is None else "", f"from: {one['source']}"]
    return {
        "name": one["name"], "what": say(one["what"]), "result": cell(result, say),
        "lines": [line if line == worked or not _LETTERS.search(line) else say(line) for line in lines if line],
        "kinds": say(*one["kinds"]),
        "needs": [number["name"] for number in one["numbers"]],
    }


def made_of(one: Value, answered: Value) -> list[dict[str, Any]]:
    """What a step's result is made of, for a reader in a hurry: a few rows, what is somebody's before what is the trade's."""
    known = answered["results"] | answered["inputs"]
    named = [known[number["name"]] for number in one["numbers"] if number["name"] in known]
    rows = [_made_row(value) for value in named if not isinstance(value, list) and value["value"] is not None]
    rows.sort(key=lambda row: "rests_on" not in row)
    left = len(rows) - _MADE_OF + 1
    return rows if len(rows) <= _MADE_OF else [*rows[:_MADE_OF - 1], {"what": f"and {left} more, in the working"}]


def _made_row(value: Value) -> dict[str, Any]:
    rests = {"rests_on": value["rests_on"]} if "rests_on" in value else _owned(value)
    said = {"lines": [value["whose"]]} if "whose" in value else {}
    return {"what": value["label"] if "label" in value else value["question"], "shown": value["shown"], **rests, **said}


def steps_to(name: str, steps: Iterable[Value]) -> list[Value]:
    """The steps of a worded answer that lead to one result, that result's own last."""
    wanted: set[str] = {name}
    kept: list[Value] = []
    for one in reversed(list(steps)):
        if one["name"] in wanted:
            kept.insert(0, one)
            wanted |= {number["name"] for number in one["numbers"]}
    return kept


def source_lines(sources: Iterable[Value], say: Say = as_it_stands) -> list[dict[str, Any]]:
    """Sources, each once: its title, its kind, and the names of the values taken from it."""
    listed = list(sources)
    lines = {(cited(source), source["kind"]): source_line(source, say) for source in listed}
    names = {line: dict.fromkeys(name_of(str(one["value"])) for one in listed if (cited(one), one["kind"]) == line) for line in lines}
    return [told | {"values": say(*names[line])} for line, told in lines.items()]


def source_line(source: Value, say: Say = as_it_stands) -> dict[str, Any]:
    """Title, clause and year of a source, and its kind."""
    return {"title": say(cited(source)), "kind": say(source["kind"])}


def name_of(value: str) -> str:
    """A value of the data file as a reader calls it."""
    return value.replace("_", " ").replace(".", ", ")


def sentence_case(words: str) -> str:
    """Words of a name, the first with a capital."""
    words = words.replace("_", " ")
    return words[:1].upper() + words[1:]


def day_of(value: Any) -> date | None:
    """The day that a value tells, if it is one."""
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        return None


def spanish_of(english: str, pairs: Mapping[str, str]) -> str:
    """The Spanish that ``pairs`` have for a text; a pattern's holes take what differs, or its Spanish. Nothing where there is none."""
    if english in pairs:
        return pairs[english]
    for pattern, told in pairs.items():
        if HOLE in pattern and (found := re.fullmatch("(.+?)".join(map(re.escape, pattern.split(HOLE))), english)):
            return told.replace(HOLE, "%s") % tuple(spanish_of(part, pairs) or part for part in found.groups())
    return ""


def in_both(pairs: Mapping[str, str], made: Callable[[dict[str, str]], Any] = dict) -> Say:
    """Tells texts in both languages where their Spanish is another; else as they stand."""
    def say(*texts: str) -> Any:
        english = as_it_stands(*texts)
        spanish = as_it_stands(*(spanish_of(text, pairs) or text for text in texts))
        return english if spanish == english else made({"en": english, "es": spanish})

    return say
