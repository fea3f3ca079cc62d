"""A story: a truck's file in, and what page, terminal, JSON and the owner's summary say of it, which must be the same."""

import contextlib
import html
import io
import json
import re
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import calculators
import print as paper
from calculators.__main__ import main
from calculators.engine.call import call

DAY = "2026-11-25"
_LIVE = re.compile(r'data-live="([\w.]+)">([^<]*)<')


def truck(name: str, **facts: object) -> dict[str, Any]:
    """A truck's file with these facts."""
    return {"format": "diesel-handover-truck", "version": 1, "name": name, "facts": {key: str(told) for key, told in facts.items()}}


def heard(calculator: str, told: Mapping[str, Any], **given: object) -> dict[str, Any]:
    """The answer to the truck's file as JSON; page, terminal and summary were heard to say the same."""
    typed = {key.replace("__", "."): str(value) for key, value in given.items()}
    reply = json.loads(call(json.dumps({"do": "answer", "calculator": calculator, "truck": told, "today": DAY, "given": typed})))
    assert reply["ok"], reply
    answered = reply["answer"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "my-truck.json"
        path.write_text(json.dumps(told), "utf-8")
        words = [calculator, *(f"{key}={value}" for key, value in typed.items()), "--truck", str(path)]
        if "today" in {field.name for field in calculators.form(calculator)} - typed.keys():
            words.append(f"today={DAY}")
        assert " ".join(terminal(*words).split()).startswith(answered["answer"])
        told_in_json: dict[str, Any] = json.loads(terminal(*words, "--json"))
    assert told_in_json["answer"] == answered["answer"]
    assert plain(told_in_json) == plain(answered)
    if not typed:
        for key, phrase in summary(json.dumps(told, sort_keys=True)).items():
            name, _, result = key.partition(".")
            if name == calculator and result in answered["results"]:
                assert phrase == on_paper(answered["results"][result]), key
            if key == f"{calculator}.answer":
                assert phrase == on_paper({"phrase": answered["answer"], "rests_on": answered.get("answer_rests_on")})
    return told_in_json


def on_paper(value: Mapping[str, Any]) -> str:
    """Its words; a blank to write in where they would be the example's alone, or only the owner could tell it."""
    if value.get("rests_on") == "example":
        return str(value.get("least", {}).get("phrase", ""))
    return "" if value.get("tell") else str(value["phrase"])


def terminal(*words: str) -> str:
    """What the terminal prints."""
    with contextlib.redirect_stdout(io.StringIO()) as said:
        assert main(list(words)) == 0
    return said.getvalue()


@cache
def summary(told: str) -> dict[str, str]:
    """The numbers and sentences of the owner's summary, by key."""
    page = paper.render("owners-summary", json.loads(told), today=DAY)
    return {key: html.unescape(phrase) for key, phrase in _LIVE.findall(page)}


def plain(answered: Mapping[str, Any]) -> dict[str, Any]:
    """The plain values of an answer's results."""
    return {name: [{cell: told["value"] for cell, told in row.items()} for row in value] if isinstance(value, list) else value["value"]
            for name, value in answered["results"].items()}


def results(calculator: str, told: Mapping[str, Any], **given: object) -> dict[str, Any]:
    """The plain values of what a page says."""
    return plain(heard(calculator, told, **given))
