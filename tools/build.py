"""Build the site aside, then put it in the old one's place: `make site` runs this.

Killed at any moment, `site/` is the old one or the new one, whole; or it stands aside and the next
run puts it back.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import time
from typing import NoReturn

from tools.ready import PYTHON, ROOT, SCRATCH, alone, pango, say, with_venv_first

SITE = ROOT / "site"
NEW = SCRATCH / "site-new"
OLD = SCRATCH / "site-old"
KEY = SCRATCH / "site.key"

MADE_FROM = (
    "calculators", "docs", "macros", "overrides", "pieces", "print", "tools",
    "LICENSE", "README.md", "mkdocs.yml", "package-lock.json", "pyproject.toml", "requirements.txt",
)  # fmt: skip
STEPS = (
    ("Pages", "mkdocs", "build", "--strict", "--site-dir", NEW),
    ("Sheets", "print", "--site", NEW / "sheets"),
    ("Finish", "macros.finish", NEW),
)


def source_key() -> str:
    """A hash of all that the site is made from, the day it is made for included."""
    digest = hashlib.sha256(os.environ["SOURCE_DATE_EPOCH"].encode())
    for name in MADE_FROM:
        top = ROOT / name
        for path in sorted(top.rglob("*")) if top.is_dir() else [top]:
            if path.is_file() and "__pycache__" not in path.parts:
                content = hashlib.sha256(path.read_bytes()).digest()
                digest.update(bytes(path.relative_to(ROOT)) + b"\0" + content)
    return digest.hexdigest()


def settle() -> None:
    """Finish what a killed build left behind."""
    if OLD.exists() and not SITE.exists():
        say("An earlier build was killed: its old site is back in site/.")
        OLD.rename(SITE)
    for left in (OLD, NEW):
        shutil.rmtree(left, ignore_errors=True)


def build() -> None:
    environment = with_venv_first() | {"PYTHONPATH": str(ROOT), "NO_MKDOCS_2_WARNING": "1"}
    for title, module, *arguments in STEPS:
        began = time.monotonic()
        print(title, end=": ", flush=True)
        done = subprocess.run(
            [PYTHON, "-m", module, *arguments],
            cwd=ROOT, env=environment, close_fds=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        if done.returncode:
            explain(f"python -m {module}", done.stdout)
        say(f"{time.monotonic() - began:.1f} s")


def explain(command: str, output: str) -> NoReturn:
    """Stop with what the command said. MkDocs' own --quiet would hide warnings from its --strict."""
    told = [line for line in output.splitlines() if not line.startswith("INFO ")]
    kept = "site/ is still the old one." if SITE.exists() else "There is no site/ yet."
    sys.exit("\n".join(["stopped.", *told, "", f"`{command}` could not do its work: see above. {kept}"]))


def swap(key: str) -> None:
    KEY.unlink(missing_ok=True)
    if SITE.exists():
        SITE.rename(OLD)
    NEW.rename(SITE)
    KEY.write_text(key)
    shutil.rmtree(OLD, ignore_errors=True)


def main() -> None:
    with alone():
        settle()
        key = source_key()
        if SITE.exists() and KEY.exists() and KEY.read_text() == key:
            say("The site is up to date: site/index.html")
            return
        pango()
        build()
        swap(key)
        say("The site is built: site/index.html")


if __name__ == "__main__":
    main()
