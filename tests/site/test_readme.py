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
FLEET = "fleet.xlsx"  # the reader's own


@pytest.mark.parametrize("command", [command for command in COMMANDS if FLEET not in command])
def test_a_command_works(command: str, tmp_path: Path) -> None:
    words = [str(tmp_path) if word == "packs" else word for word in shlex.split(command)]
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()


def test_the_sample_is_a_truck_of_today_with_a_year_in_its_book() -> None:
    text = (ROOT / "my-truck.json").read_text("utf-8")
    truck, faults = calculators.read_truck(text)
    assert not faults and truck is not None
    days = sorted(entry["date"] for entry in json.loads(text)["book"])
    assert truck["version"] == 2 and int(days[-1][:4]) > int(days[0][:4])
    jobs = {row["job"]["value"]: row for row in calculators.answer("service_due", truck=truck, today="2026-11-30")["results"]["jobs"]}
    assert jobs["engine_oil"]["due_date"]["value"] and jobs["engine_oil"]["due_date"]["rests_on"] == "yours"
