"""Every part that the site carries is named with its license and source, and every license has its text."""

import re
from pathlib import Path

import pytest

from macros import licenses

PARTS = licenses.listed()
TEXT = licenses.text(PARTS)


def test_the_built_site_is_made_of_the_listed_parts(site: Path) -> None:
    files = [path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()]
    assert len(files) > 50
    assert list(licenses.faults(PARTS, files)) == []
    assert (site / licenses.NAME).read_text("utf-8") == TEXT


def test_a_file_of_nobody_and_a_part_without_a_file_are_told() -> None:
    (one, *_) = PARTS
    part = one._replace(name="Boxes", files=("boxes/*.js", "gone.js"))
    said = list(licenses.faults([part], ["boxes/a.js", "strange/b.js"]))
    assert [line.partition(":")[0] for line in said] == ["strange/b.js", "licenses.txt"]
    assert "Boxes is said to stand in gone.js" in said[1]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_a_part_has_version_owner_source_and_the_text_of_its_license(part: licenses.Part) -> None:
    assert part.version and part.source and re.match(r"Copyright ", part.copyright)
    text = licenses.license_text(part.license)
    assert len(text) > 500 and text in TEXT
    row = TEXT[TEXT.index(f"{part.name}, {part.version}"):]
    assert part.copyright in row and f"Source: {part.source}" in row


# What each license says of itself, in words that only it has.
@pytest.mark.parametrize(("license", "words"), [
    ("Apache-2.0", "Apache License\n                           Version 2.0, January 2004"),
    ("MPL-2.0", "Mozilla Public License, version 2.0"), ("PSF-2.0", "PYTHON SOFTWARE FOUNDATION LICENSE VERSION 2"),
    ("MIT", "shall be included in all copies or substantial portions of the Software"),
    ("BSD-2-Clause", "Redistributions in binary form must reproduce"),
    ("Zlib", "without any express or implied warranty"), ("bzip2-1.0.6", "The name of the author may not be used to endorse"),
    ("0BSD", "for any purpose with or without fee"), ("W3C-20150513", "The full text of this NOTICE"),
    ("vega", "Neither the name of the\ncopyright holder"), ("docs/assets/fonts/noto-sans-LICENSE.txt", "SIL OPEN FONT LICENSE Version 1.1"),
])
def test_a_license_is_the_one_it_is_called(license: str, words: str) -> None:
    assert words in licenses.license_text(license)


def test_what_the_runtime_is_made_of_is_what_it_says(site: Path) -> None:
    """The versions that stand in its own bytes."""
    wasm = (site / "runtime" / "pyodide.asm.wasm").read_bytes()
    versions = {part.name.split(",")[0].split(" and ")[0]: part.version for part in PARTS}
    assert f"inflate {versions['zlib']} Copyright".encode() in wasm
    assert f"expat_{versions['Expat']}".encode() in wasm
    assert f"{versions['bzip2']}, 6-Sept-2010".encode() in wasm
    assert f"{versions['libmpdec']}\0".encode() in wasm
    assert re.search(rf"{re.escape(versions['CPython'])}/include/python3".encode(), wasm)
