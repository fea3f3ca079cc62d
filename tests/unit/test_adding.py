"""Adding a calculator is adding four files' worth: rule, values, page, test; all else follows from them."""

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from lxml.html import fromstring

ROOT = Path(__file__).parents[2]
COPIED = ("calculators", "docs", "macros", "overrides", "pieces", "print", "mkdocs.yml", "pyproject.toml", "tests/__init__.py",
          "tests/unit")

RULE = '''"""How many boxes fit in the bed?"""

from calculators.engine.figures import Missing
from calculators.engine.units import Count, Gallons, Pounds

HEADLINE = ("boxes_in_bed",)


def boxes_in_bed(bed_volume: Gallons, box_volume: Gallons) -> Count | Missing:
    """Boxes by volume alone."""
    return bed_volume / box_volume if box_volume > 0 else Missing("a box has no volume")


def load(boxes_in_bed: Count, box_weight: Pounds) -> Pounds:
    """What they weigh together."""
    return boxes_in_bed * box_weight


def answer() -> str:
    """The sentence that says what to do."""
    return "Load {boxes_in_bed} boxes; together they weigh {load}."
'''
VALUES = """
[bed_volume]
question = "What the bed holds"
group = "Boxes"
unit = "gal"
value = 400
low = 0
high = 1000
kind = "example"

[box_volume]
question = "What one box holds"
group = "Boxes"
unit = "gal"
value = 8
low = 0
high = 100
kind = "example"

[box_weight]
unit = "lb"
value = 30
kind = "ours"
"""
TEST = '''"""Boxes by hand."""

from tests.unit.ask import results


def test_fifty_boxes() -> None:
    assert results("toy") == {"boxes_in_bed": 50, "load": 1500}
'''
EVERY = ("test_toy.py", "test_contract.py", "test_rules.py", "test_working.py", "test_facts.py", "test_figures.py", "test_kept.py",
         "test_command_line.py", "test_call.py", "test_sensitivity.py")


def run(folder: Path, *words: str | Path) -> str:
    settings = os.environ | {"PYTHONPATH": str(folder), "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": "1795564800"}
    done = subprocess.run([sys.executable, "-m", *words], cwd=folder, env=settings, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    return done.stdout


def hashes(folder: Path) -> dict[str, str]:
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.rglob("*")
            if path.is_file() and "__pycache__" not in path.parts and ".build" not in path.parts}


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project with a calculator added, and nothing else done to it."""
    folder = tmp_path_factory.mktemp("project")
    for name in COPIED:
        for path in [ROOT / name] if (ROOT / name).is_file() else (ROOT / name).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                target = folder / path.relative_to(ROOT)
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(path.read_bytes())
    before = hashes(folder)
    (folder / "calculators" / "toy.py").write_text(RULE)
    values = folder / "calculators" / "figures.toml"
    values.write_text(values.read_text("utf-8").replace("\n[short_trip_time]", f"{VALUES}\n[short_trip_time]", 1), "utf-8")
    page = folder / "docs" / "money.md"
    text = page.read_text("utf-8")
    page.write_text(text.replace("{{ sources() }}", '{{ calculator("toy") }}\n\n{{ sources() }}'), "utf-8")
    (folder / "tests" / "unit" / "test_toy.py").write_text(TEST)
    after = hashes(folder)
    changed = {name for name in after if before.get(name) != after[name]}
    assert changed == {"calculators/toy.py", "calculators/figures.toml", "docs/money.md", "tests/unit/test_toy.py"}
    return folder


def test_the_command_line_knows_it(copy: Path) -> None:
    assert any(line.startswith("toy ") and "How many boxes" in line for line in run(copy, "calculators").splitlines())
    assert "bed_volume — What the bed holds" in run(copy, "calculators", "toy", "--help")
    assert "Load 50 boxes; together they weigh 1,500 pounds." in run(copy, "calculators", "toy")
    answered = json.loads(run(copy, "calculators", "toy", "bed_volume=500 gal", "--json"))
    assert answered["results"]["boxes_in_bed"]["value"] == 62.5
    assert {source["kind"] for source in answered["sources"]} == {"example", "ours"}


def test_every_calculators_tests_take_it_in(copy: Path) -> None:
    said = run(copy, "pytest", "-q", "-k", "toy or test_fifty_boxes", "-p", "no:cacheprovider", *(f"tests/unit/{name}" for name in EVERY))
    passed = int(said.rsplit(" passed", 1)[0].split()[-1])
    assert passed >= 25, said[-500:]


@pytest.mark.slow
def test_the_built_page_has_its_card(copy: Path) -> None:
    run(copy, "mkdocs", "build", "--strict", "--site-dir", copy / ".build" / "site")
    page = fromstring((copy / ".build" / "site" / "money.html").read_text("utf-8"))
    card = page.xpath('//section[@data-calculator="toy"]')[0]
    assert card.xpath('.//*[@data-result="boxes_in_bed"]/@data-value') == ["50.0"]
    form = card.xpath('.//form[@id="toy"]')[0]
    assert form.xpath('.//input[@name="bed_volume"]/@value') == ["400"]
    assert "What one box holds" in form.text_content()
    assert "Load 50 boxes" in card.text_content()
