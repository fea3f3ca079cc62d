"""What README and its sample say works as it stands there."""

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

import calculators
from tools.ready import ROOT

TEXT = (ROOT / "README.md").read_text("utf-8")
COMMANDS = [line.split("#")[0].strip() for line in re.findall(r"^\.venv/bin/python (-m .*)$", TEXT, re.M)]


def run(command: str, folder: Path) -> str:
    """What it says; what it makes, and what the shell puts into a file, stays out of the project."""
    words, _, file = (part.strip() for part in command.partition(">"))
    places = {"packs": str(folder / "packs"), "fleet.csv": str(folder / "fleet.csv")}
    program = [sys.executable, *(places.get(word, word) for word in shlex.split(words))]
    done = subprocess.run(program, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    if file:
        Path(places[file]).write_text(done.stdout, "utf-8")
    return done.stdout.strip()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_works(command: str, tmp_path: Path) -> None:
    before = [one for one in COMMANDS[:COMMANDS.index(command)] if ">" in one and one.partition(">")[2].strip() in command]
    said = [run(one, tmp_path) for one in (*before, command)]
    assert all(said)


def test_the_sample_is_a_truck_of_today_with_a_year_in_its_book() -> None:
    text = (ROOT / "my-truck.json").read_text("utf-8")
    truck, faults = calculators.read_truck(text)
    assert not faults and truck is not None
    days = sorted(entry["date"] for entry in json.loads(text)["book"])
    assert truck["version"] == 2 and int(days[-1][:4]) > int(days[0][:4])
    jobs = {row["job"]["value"]: row for row in calculators.answer("service_due", truck=truck, today="2026-11-30")["results"]["jobs"]}
    assert jobs["engine_oil"]["due_date"]["value"] and jobs["engine_oil"]["due_date"]["rests_on"] == "yours"
