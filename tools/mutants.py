"""Changes one thing in our code at a time, and sees whether a test notices: python -m tools.mutants [part of a PATH:LINE …]

    --count=320    how many are tried, spread over the rooms by size; always the same ones
    --list         only show them
    --survivors    only those that nothing noticed in the last run

A change is tried with the tests that pass through its lines, without our own kept answers (tools/trials.py). The log in .build/mutants
goes on where a run stopped: what a test noticed is not tried again while the code and that test's file stand as they did.
What is known to do no harm stands in harmless.toml, each with its reason.
"""

import fcntl
import hashlib
import json
import os
import shutil
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

from tools import changes, trials
from tools.changes import ROOMS, Change

ROOT = Path(__file__).resolve().parent.parent
SCRATCH = ROOT / ".build" / "mutants"
LOG = SCRATCH / "log.jsonl"
HARMLESS = ROOT / "tools" / "harmless.toml"
COUNT, LEAST, ENOUGH = 320, 10, 85  # how many in all, in a room, and % that must be noticed
SEED = "diesel handover"


def drawn(every: list[Change], count: int) -> list[Change]:
    """So many, spread over the rooms by size, in an order that mixes them and stays the same while the rest of the code moves."""
    def place(change: Change) -> str:
        return hashlib.sha256(f"{SEED} {change.name}".encode()).hexdigest()

    chosen = []
    for room in ROOMS:
        of_it = sorted((change for change in every if change.room == room), key=place)
        chosen += of_it[:max(LEAST, round(count * len(of_it) / len(every)))]
    return sorted(chosen, key=place)


def harmless(text: str, every: list[Change]) -> dict[str, str]:
    """The changes that are known to do no harm, and why; an entry without a reason, or of code that is gone, is refused."""
    known = {entry["change"]: entry["why"].strip() for entry in tomllib.loads(text).get("harmless", [])}
    names = {change.name for change in every}
    for name, why in known.items():
        if name not in names or not why:
            sys.exit(f"harmless.toml: {name}: {'there is no such change any more' if why else 'it has no reason'}")
    return known


def table(outcomes: list[tuple[Change, trials.Outcome]]) -> str:
    """The whole run, room by room."""
    lines = [f"{'room':12} {'mutants':>8} {'killed':>8} {'survived':>9} {'killed, %':>10}"]
    for room in (*ROOMS, "all"):
        kills = [outcome.killed for change, outcome in outcomes if room in (change.room, "all")]
        if kills:
            lines.append(f"{room:12} {len(kills):8} {sum(kills):8} {len(kills) - sum(kills):9} {100 * sum(kills) / len(kills):10.1f}")
    return "\n".join(lines)


def verdict(outcomes: list[tuple[Change, trials.Outcome]], known: dict[str, str]) -> list[str]:
    """What is wrong with a run."""
    wrong = [f"harmless.toml: {change.name}: it is noticed now, by {outcome.by}" for change, outcome in outcomes
             if outcome.killed and change.name in known]
    killed = sum(outcome.killed for _, outcome in outcomes)
    return wrong + [f"{killed} of {len(outcomes)} were noticed: fewer than {ENOUGH} %"] * (killed * 100 < ENOUGH * len(outcomes))


class Log:
    """What became of each change, line by line, so that a run that was stopped goes on."""

    def __init__(self, code: str, folder: Path) -> None:
        self.code, self.folder = code, folder
        rows = [json.loads(line) for line in LOG.read_text("utf-8").splitlines()] if LOG.exists() else []
        self.rows = {row["change"]: row for row in rows if row["code"] == code}

    def known(self, change: Change) -> trials.Outcome | None:
        """What became of it, if that still holds."""
        row = self.rows.get(change.name)
        return trials.Outcome(**row["outcome"]) if row and row["tests"] == self._tests(row["outcome"]) else None

    def add(self, change: Change, outcome: trials.Outcome) -> None:
        """Write it down."""
        self.rows[change.name] = {"change": change.name, "at": f"{change.path}:{change.line}", "code": self.code,
                                  "tests": self._tests(outcome._asdict()), "outcome": outcome._asdict()}
        with LOG.open("a", encoding="utf-8") as log:
            log.write(json.dumps(self.rows[change.name]) + "\n")

    def _tests(self, outcome: dict[str, Any]) -> str:
        file = outcome["by"].partition("::")[0]
        return trials.digest(self.folder, file if outcome["killed"] and "/" in file else "tests/**/*.*")


def watch(folder: Path, code: str, room: str) -> dict[str, trials.Seen]:
    """What the tests of a room pass through: from the last run where neither the code nor the test's file has changed."""
    found: dict[str, trials.Seen] = {}
    for file in trials.files(ROOT, room):
        key = f"{code} {trials.digest(ROOT, file, 'tests/**/conftest.py', 'tests/scripts/*.cjs')}"
        store = SCRATCH / f"{file.replace('/', '-')}.json"
        kept = json.loads(store.read_text("utf-8")) if store.exists() else {}
        if kept.get("key") != key:
            began = time.monotonic()
            kept = {"key": key, "tests": trials.watched(folder, file)}
            store.write_text(json.dumps(kept), "utf-8")
            print(f"{file}: {len(kept['tests'])} tests in {time.monotonic() - began:.0f} s", flush=True)
        found |= {test: trials.Seen(*seen) for test, seen in kept["tests"].items()}
    return found


def run(chosen: list[Change], again: bool) -> list[tuple[Change, trials.Outcome]]:
    """Try each."""
    folder = SCRATCH / "copy"
    shutil.rmtree(folder, ignore_errors=True)
    trials.copy(ROOT, folder)
    trials.warm()
    code = trials.digest(ROOT, *ROOMS.values(), "calculators/**/*.toml", "docs/**/*.md", "docs/includes/*", "print/sheets/*", "macros/**/*")
    log, outcomes, seen_by = Log(code, folder), [], dict[str, dict[str, trials.Seen]]()
    for number, change in enumerate(sorted(chosen, key=lambda change: list(ROOMS).index(change.room)), 1):
        seen = seen_by.get(change.room) or seen_by.setdefault(change.room, watch(folder, code, change.room))
        outcome = log.known(change)
        if not outcome or (again and not outcome.killed):
            outcome = trials.outcome(ROOT, folder, change, seen)
            log.add(change, outcome)
            print(f"{number}/{len(chosen)} {'killed' if outcome.killed else 'SURVIVED'} {change.path}:{change.line}: {change.told}  "
                  f"[{outcome.by or outcome.tests}, {outcome.seconds:.0f} s]", flush=True)
        outcomes.append((change, outcome))
    return outcomes


def main(words: list[str]) -> int:
    """Run from the command line; 0 where enough is noticed."""
    options = {word.partition("=")[0]: word.partition("=")[2] for word in words if word.startswith("--")}
    parts = [word for word in words if not word.startswith("--")]
    every = changes.of_rooms(ROOT)
    known = harmless(HARMLESS.read_text("utf-8"), every)
    chosen = drawn(every, int(options.get("--count", COUNT))) if not parts else [
        change for change in every if any(part in f"{change.path}:{change.line}:" for part in parts)]
    chosen = [change for change in chosen if changes.reads(change.path, change.made((ROOT / change.path).read_bytes()))]
    if "--list" in options:
        print("\n".join(f"{change.path}:{change.line}: {change.told}" for change in chosen))
        return 0
    os.nice(19)
    SCRATCH.mkdir(parents=True, exist_ok=True)
    with (SCRATCH / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)  # one run at a time: it changes the copy
        outcomes = run(chosen, "--survivors" in options)
    print("\nNothing noticed:")
    for change, outcome in outcomes:
        if not outcome.killed:
            print(f"{change.path}:{change.line}: {change.told}\n    {known.get(change.name, 'NOT YET ARGUED')}")
    print(f"\n{table(outcomes)}")
    wrong = verdict(outcomes, known)
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
