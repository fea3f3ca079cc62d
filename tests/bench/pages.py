"""The site's pages against the same Markdown built bare: no macros, no template of ours, calls left as text."""

import os
import shutil
import statistics
import subprocess
import tempfile
import time
from pathlib import Path

from tools.ready import PYTHON, ROOT

BARE = """\
site_name: Bare
docs_dir: {docs}
exclude_docs: drawings/
theme: {{name: material, font: false}}
plugins: [search]
markdown_extensions: [attr_list, md_in_html, tables, smarty, toc]
"""
ROUNDS = 3


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        bare = Path(scratch) / "mkdocs.yml"
        bare.write_text(BARE.format(docs=ROOT / "docs"))
        # In turns, so that a slow minute of the machine falls on both.
        rounds = [(seconds(ROOT / "mkdocs.yml", scratch), seconds(bare, scratch)) for _ in range(ROUNDS)]
    ours, plain = (statistics.median(column) for column in zip(*rounds, strict=True))
    print(f"pages: {ours / plain:.2f} times the same Markdown bare ({ours:.2f} s, {plain:.2f} s)")


def seconds(config: Path, scratch: str) -> float:
    target = Path(scratch) / "site"
    began = time.perf_counter()
    subprocess.run(
        [PYTHON, "-m", "mkdocs", "build", "--quiet", "--config-file", config, "--site-dir", target],
        cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT), "NO_MKDOCS_2_WARNING": "1"}, check=True,
    )  # fmt: skip
    took = time.perf_counter() - began
    shutil.rmtree(target)
    return took
