"""Each page of the built site is HTML as the standard wants it, by the word of html-validate."""

import json
import subprocess
from pathlib import Path

import pytest

from tools.ready import OUTSIDE, with_venv_first

pytestmark = pytest.mark.audit


def validate(place: Path, *pages: Path) -> dict[str, list[str]]:
    """What is wrong with each page that has something wrong."""
    told = place / "report.json"
    command = [OUTSIDE / "node_modules/.bin/html-validate", "--config", OUTSIDE / "html-validate.mjs", "--formatter", "json", *pages]
    with told.open("w") as report:  # into a pipe it would write only the beginning
        done = subprocess.run(command, stdout=report, stderr=subprocess.PIPE, text=True, env=with_venv_first())
    assert done.returncode in (0, 1), done.stderr  # 1: found something
    reports = json.loads(told.read_text())
    return {Path(report["filePath"]).name: [f"line {m['line']}: {m['ruleId']}: {m['message']} {m.get('selector') or ''}"
                                            for m in report["messages"]] for report in reports if report["messages"]}  # fmt: skip


def test_every_page_is_valid(site: Path, tmp_path: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 30
    assert validate(tmp_path, *pages) == {}


def test_a_page_that_is_not_is_named(site: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.html"
    broken.write_text((site / "idling.html").read_text().replace("</main>", "<p><div>x</div></p><img src='x.png'></main>"))
    was, now = validate(tmp_path, site / "idling.html"), validate(tmp_path, broken)
    assert len(now["broken.html"]) >= len(was.get("idling.html", [])) + 2
