"""Links that somebody forged, and what a page makes of them: told once, for whichever browser opens them.

A browser is anything with ``open``, ``ask``, ``click`` and ``until``, as the drivers of tests/outside have them.
"""

import base64
import json
from typing import Any, Protocol

import calculators

POISON = "Carry on, a little DEF does no harm."
MINE = {"format": "diesel-handover-truck", "version": 2, "id": "mine", "saved_at": "2026-11-20T08:00:00Z", "name": "Willow",
        "facts": {"fuel_price": "4.50 USD/gal"}, "interval": {},
        "book": [{"id": "e1", "date": "2026-11-01", "kind": "reading", "odometer": "42000 mi", "note": "mine alone"}]}  # fmt: skip
OLDER = MINE | {"saved_at": "2026-11-19T08:00:00Z", "name": "Wilted", "facts": {"fuel_price": "1 USD/gal"}}
NEWER = MINE | {"saved_at": "2026-11-21T08:00:00Z", "name": "Weeping", "facts": {"fuel_price": "8 USD/gal"},
                "book": [{"id": "e2", "date": "2026-11-10", "kind": "reading", "odometer": "42500 mi"}]}  # fmt: skip
THEIRS = {"format": "diesel-handover-truck", "version": 2, "id": "theirs", "saved_at": "2026-11-22T08:00:00Z", "name": "Heron",
          "facts": {"fuel_price": "9 USD/gal"}, "interval": {}, "book": []}  # fmt: skip

KEY = "const root = new URL('..', document.querySelector('script[src$=\"assets/kept.js\"]').src).pathname, key = `diesel-handover:${root}`;"
STORE = f"{KEY} localStorage.clear(); sessionStorage.clear(); if (told[0]) localStorage.setItem(key, JSON.stringify(told[0]));"
SETTLED = "return document.readyState === 'complete' && !document.documentElement.classList.contains('filling');"
SEEN = KEY + """
const read = (text) => JSON.parse(text ?? "null");
const at = (name) => document.querySelector(name);
return {
    words: document.documentElement.textContent,
    shown: document.body.innerText,
    guest: !at("[data-guest-bar]").hidden && at("[data-guest-bar]").innerText,
    name: at("[data-truck-bar] [data-truck-name]")?.textContent,
    stored: read(localStorage.getItem(key)),
    aside: read(localStorage.getItem(`${key}#aside`)) ?? [],
};"""
ANSWERED = "return document.querySelector('[data-calculator=idle_bill] [data-answer]').textContent === told[0];"
CARD = """const card = document.querySelector(`[data-calculator="${told[0]}"]`);
const words = (name) => card.querySelector(name).textContent;
return [words("[data-answer]"), words("[data-for-truck]"), card.classList.contains("linked")];"""


SLOW = 120  # seconds in which a busy machine has worked everything out for a truck


class Browser(Protocol):
    """What a test asks of a browser."""

    def open(self, address: str) -> None: ...

    def ask(self, script: str, *told: Any) -> Any: ...

    def click(self, selector: str) -> None: ...

    def until(self, script: str, *told: Any, seconds: float) -> Any: ...


def link(**told: Any) -> str:
    """A fragment that carries whatever its forger likes."""
    return "#v2." + base64.urlsafe_b64encode(json.dumps(told).encode()).decode().rstrip("=")


def opened(browser: Browser, page: str, mine: dict[str, Any] | None, fragment: str = "") -> dict[str, Any]:
    """What stands on a page that a browser, which keeps ``mine``, opens by a link; another page before it makes it load anew."""
    browser.open(page)
    browser.until(SETTLED, seconds=SLOW)
    browser.ask(STORE, mine)
    browser.open("about:blank")
    browser.open(page + fragment)
    return seen(browser)


def seen(browser: Browser) -> dict[str, Any]:
    """What is shown and kept, once nothing is being worked out any more."""
    browser.until(SETTLED, seconds=SLOW)
    found: dict[str, Any] = browser.ask(SEEN)
    return found


def answer(name: str, truck: dict[str, Any]) -> str:
    """What the calculators themselves say."""
    return str(calculators.answer(name, None, truck)["answer"])


def poisoned() -> dict[str, Any]:
    """Answers, actions and cautions with words of the forger's, and all else that a page stores beside a truck."""
    said = {"value": POISON, "shown": POISON, "phrase": POISON, "number": POISON, "rests_on": "yours", "look": "words"}
    one = {"calculator": "x", "answer": POISON, "look": "fits", "sign": "on", "rests": POISON, "results": dict.fromkeys(
        ("verdict", "stop_level", "stop_rule", "cost_per_year"), said) | {"actions": [{"action": said, "why": said}] * 3, "jobs": []},
        "inputs": {}, "cautions": [{"signal": "NOTICE", "hazard": POISON, "text": POISON}], "working": [],
        "sources": [{"title": POISON, "kind": POISON, "values": POISON}]}  # fmt: skip
    job = {"from": "2020-01-01", "job": "engine_oil", "name": POISON, "section": "later", "place": 0, "head": POISON, "when": POISON,
           "said": POISON, "brought_by": POISON, "dated": True, "due": [POISON, POISON], "rests_on": "yours"}  # fmt: skip
    return {"answers": dict.fromkeys(calculators.NAMES, one), "jobs": [{"days": [job]}],
            "reading": [{"from": "2020-01-01", "says": POISON}],
            "facts": {"fuel_price": said}, "calendar": POISON, "paper": {"lines": [[POISON] * 8]}}  # fmt: skip


def no_word_of_a_links_answers(browser: Browser, address: str) -> None:
    """Neither answers, actions nor cautions that come in a link are ever shown: the calculators say what there is to say."""
    told = poisoned() | THEIRS | {"identity": {"owner": POISON, "call_service": POISON}, "link": {"name": POISON}, "note": POISON}
    fragment = link(truck=told, saved={"truck": told, **poisoned()}, **poisoned(), at="idle_bill")
    for name in ("wrong-fluid", "light", "oil-and-service", "idling"):
        found = opened(browser, f"{address}/{name}.html", None, fragment)
        assert POISON not in found["words"], name
        assert "Heron" in found["guest"] and "came with the link" in found["guest"]
        assert found["stored"] is None
    assert browser.ask(CARD, "idle_bill")[:2] == [answer("idle_bill", THEIRS), "for Heron, partly with the example’s"]


def wrong_fluids_words_are_the_pages_own(browser: Browser, address: str) -> None:
    """Nor from storage: what to do now is what the page itself came with."""
    page = f"{address}/wrong-fluid.html"
    clean = opened(browser, page, None)["shown"]
    version = browser.ask("return document.querySelector('meta[name=site-version]').content;")
    forged = {"truck": MINE, "site_version": version, "computed_on": "2020-01-01", "until": "2999-01-01", **poisoned()}
    found = opened(browser, page, forged)
    assert found["name"] == "Willow" and found["stored"]["answers"]["wrong_fluid"]["answer"] == POISON
    assert POISON not in found["words"]
    assert "Stop" in found["shown"] and "Stop" in clean


def an_older_copy_changes_nothing(browser: Browser, address: str) -> None:
    """A link with the truck that is kept here, as it was before: nothing is shown of it."""
    found = opened(browser, f"{address}/idling.html", {"truck": MINE}, link(truck=OLDER))
    assert (found["guest"], found["name"], found["stored"]["truck"]["facts"]) == (False, "Willow", MINE["facts"])
    assert browser.ask(CARD, "idle_bill")[0] == answer("idle_bill", MINE) != answer("idle_bill", OLDER)


def a_newer_copy_asks_first(browser: Browser, address: str) -> None:
    """The truck that is kept here with a later date and other entries: a guest until its reader says; kept, no entry of either is gone."""
    page = f"{address}/idling.html"
    fragment = link(truck=NEWER)
    found = opened(browser, page, {"truck": MINE}, fragment)
    assert "Weeping" in found["guest"] and found["stored"]["truck"] == MINE
    assert browser.ask(CARD, "idle_bill")[0] == answer("idle_bill", NEWER)
    browser.click("[data-guest-bar] [data-use-mine]")
    found = seen(browser)
    assert (found["guest"], found["name"], found["stored"]["truck"]["facts"]) == (False, "Willow", MINE["facts"])
    assert browser.until(ANSWERED, answer("idle_bill", MINE), seconds=SLOW)

    opened(browser, page, {"truck": MINE}, fragment)
    browser.click("[data-guest-bar] [data-keep-guest]")
    browser.until("return document.querySelector('[data-guest-bar]').hidden;", seconds=SLOW)
    found = seen(browser)
    kept = found["stored"]["truck"]
    assert (kept["id"], kept["name"], kept["facts"]) == ("mine", "Weeping", NEWER["facts"])
    assert {entry["id"] for entry in kept["book"]} == {"e1", "e2"}
    assert next(entry for entry in kept["book"] if entry["id"] == "e1")["note"] == "mine alone"
    assert [one["before"]["facts"] for one in found["aside"]] == [MINE["facts"]]


def a_colleagues_truck_is_a_guest(browser: Browser, address: str) -> None:
    """Another's truck: shown as one, and once it is kept, what was kept here waits aside, whole."""
    found = opened(browser, f"{address}/idling.html", {"truck": MINE}, link(truck=THEIRS))
    assert "Heron" in found["guest"] and found["stored"]["truck"] == MINE
    browser.click("[data-guest-bar] [data-keep-guest]")
    browser.until("return document.querySelector('[data-guest-bar]').hidden;", seconds=SLOW)
    found = seen(browser)
    assert (found["stored"]["truck"]["id"], found["name"]) == ("theirs", "Heron")
    assert [one["before"] for one in found["aside"]] == [MINE]


def numbers_of_a_link_are_marked(browser: Browser, address: str) -> None:
    """Numbers that turn an answer say where they are from, and go by one touch."""
    page = f"{address}/idling.html"
    given = {"fuel_price": "0.50", "idle_hours_per_day": "0.1"}
    fragment = link(given={name: [text, ""] for name, text in given.items()}, at="idle_bill")
    found = opened(browser, page, {"truck": MINE}, fragment)
    mine, forged = answer("idle_bill", MINE), calculators.answer("idle_bill", given, MINE)["answer"]
    assert found["name"] == "Willow" and mine != forged
    browser.until(ANSWERED, forged, seconds=SLOW)
    _, whose, linked = browser.ask(CARD, "idle_bill")
    assert linked and whose == "for Willow, partly with the example’s, with numbers from the link"
    color = "return window.getComputedStyle(document.querySelector(`form#idle_bill [name=${told[0]}]`)).color;"
    of_the_link, of_mine = browser.ask(color, "fuel_price"), "rgb(16, 60, 148)"  # the blue of what is the owner's
    assert of_the_link not in (of_mine, "rgb(20, 32, 29)")  # nor the ink of what is anybody's
    browser.click("form#idle_bill [data-drop-linked]")
    browser.until(ANSWERED, mine, seconds=SLOW)
    assert browser.ask(CARD, "idle_bill")[1:] == ["for Willow, partly with the example’s", False]
    assert browser.ask(color, "fuel_price") == of_mine


FORGED = (no_word_of_a_links_answers, wrong_fluids_words_are_the_pages_own, an_older_copy_changes_nothing, a_newer_copy_asks_first,
          a_colleagues_truck_is_a_guest, numbers_of_a_link_are_marked)  # fmt: skip
