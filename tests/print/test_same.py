"""The same sheet on the same day is the same bytes."""

import os
import subprocess
import sys

import pytest

from print.day import WrongDay, build_day
from tests.print.paper import SHEETS

PLACES = (
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland", "LANG": "de_DE.UTF-8", "LC_ALL": "de_DE.UTF-8"},
    {"PYTHONHASHSEED": "77", "TZ": "America/Los_Angeles", "LANG": "C", "LC_ALL": "C"},
)


@pytest.mark.parametrize("told", ["abc", "1.5", "9" * 30])
def test_a_day_that_is_none_is_told_in_a_line(told, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", told)
    with pytest.raises(WrongDay, match=r"^SOURCE_DATE_EPOCH: .* write the seconds since 1970"):
        build_day()


@pytest.mark.slow
def test_same_bytes_elsewhere(tmp_path):
    made = []
    for number, place in enumerate(PLACES):
        out = tmp_path / str(number)
        home = tmp_path / f"home-{number}"
        home.mkdir()
        env = os.environ | place | {"SOURCE_DATE_EPOCH": "1795608000", "HOME": str(home)}
        subprocess.run([sys.executable, "-m", "print", "--site", str(out)], env=env, check=True, capture_output=True)
        made.append({file.name: file.read_bytes() for file in out.iterdir()})
    assert made[0].keys() == made[1].keys() >= {f"{sheet}.{end}" for sheet in SHEETS for end in ("html", "pdf", "png")}
    for name in made[0]:
        assert made[0][name] == made[1][name], name
