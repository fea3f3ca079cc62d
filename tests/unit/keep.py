"""Old results stay repeatable: what each calculator asks, and what it answers for the example trucks, as files.

    python -m tests.unit.keep

renews them after a change that was meant; look at what git then shows, and say in the commit why it changed.
Numbers are kept to twelve digits: the last few may differ from one machine's mathematics to another's. Questions and
sentences are not kept: words are free to be made better.
"""

import contextlib
import io
import json
from pathlib import Path
from typing import Any

import calculators
from calculators.__main__ import main
from tests.unit.ask import DAY, TRUCKS

FOLDER = Path(__file__).with_name("kept")
PARTS = ("answer_rests_on", "assumes", "turns", "inputs", "results", "sources")
ENDS = 3  # rows that are kept of each end of a list that is as long as a book


def kept() -> dict[str, str]:
    """Every kept file's text, by its name."""
    files = {f"{name}.help.txt": helped(name) for name in calculators.NAMES}
    return files | {f"{name}.{truck}.json": answered(name, truck) for name in calculators.NAMES for truck in TRUCKS}


def helped(name: str) -> str:
    """What ``NAME --help`` prints, without the questions' words."""
    with contextlib.redirect_stdout(io.StringIO()) as said:
        main([name, "--help"])
    return "".join(line.split(" — ")[0].rstrip() + "\n" for line in said.getvalue().splitlines()[1:])


def answered(name: str, truck: str) -> str:
    """What stays of an answer."""
    answer = calculators.answer(name, truck=calculators.example_truck(truck), today=DAY)
    return written({part: answer[part] for part in PARTS if part in answer})


def written(value: Any) -> str:
    return json.dumps(rounded(value), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def rounded(value: Any) -> Any:
    if isinstance(value, str) and value.endswith("."):
        return "a sentence"
    if isinstance(value, float):
        return float(f"{value:.12g}")
    if isinstance(value, dict):
        return {name: rounded(part) for name, part in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(part) for part in _shortened(value)]
    return value


def _shortened(rows: Any) -> Any:
    """A list of rows; one of a book's entries by its ends."""
    return [*rows[:ENDS], *rows[-ENDS:]] if len(rows) > 2 * ENDS and isinstance(rows[0], dict) and "entry" in rows[0] else rows


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    now = kept()
    for old in FOLDER.iterdir():
        if old.name not in now:
            old.unlink()
    for file, text in now.items():
        (FOLDER / file).write_text(text, "utf-8")
    print(f"{len(now)} files in {FOLDER}")
