"""Lighthouse has nothing to say against two pages as a phone gets them; how fast they are it tells, and nobody judges."""

import json
import os
import subprocess
from pathlib import Path

import pytest

from tools.ready import OUTSIDE, with_venv_first

pytestmark = pytest.mark.audit
HOLD = ("accessibility", "best-practices")
FLAGS = "--headless=new --no-sandbox --disable-gpu"


@pytest.mark.parametrize("page", ["index.html", "exhaust.html"])
def test_lighthouse_finds_nothing(served: str, chromium: str, page: str, tmp_path: Path) -> None:
    told = tmp_path / "report.json"
    only = ",".join((*HOLD, "performance"))
    command = [OUTSIDE / "node_modules/.bin/lighthouse", f"{served}/{page}", "--quiet", "--output=json", f"--output-path={told}",
               "--no-enable-error-reporting", f"--only-categories={only}", f"--chrome-flags={FLAGS}"]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, env=with_venv_first() | {"CHROME_PATH": os.path.realpath(chromium)})
    assert done.returncode == 0, done.stderr
    report = json.loads(told.read_text())
    assert "runtimeError" not in report and report["finalDisplayedUrl"] == f"{served}/{page}"
    scores = {name: round(100 * told["score"]) for name, told in report["categories"].items()}
    paint = report["audits"]["largest-contentful-paint"]["displayValue"]
    print(f"{page} on a slow phone, by Lighthouse: {scores}, largest paint after {paint}")
    found = [f"{audit['id']}: {audit['title']}" for name in HOLD for ref in report["categories"][name]["auditRefs"]
             if (audit := report["audits"][ref["id"]])["score"] not in (1, None)]
    assert found == []
    assert [scores[name] for name in HOLD] == [100, 100]
