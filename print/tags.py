"""What WeasyPrint's tags lack for PDF/UA: the language of a stretch, lists of terms, the scope of a table's heads.

It wraps one private function, the one that makes a tag of each box; so requirements.in pins WeasyPrint exactly,
and tests/print/test_accessible.py fails where a newer one no longer goes through it.
"""

from collections.abc import Iterator
from typing import Any

import pydyf
import weasyprint.pdf.tags as tags

BLANK = "truck-"  # how the id starts of the blank for the truck's name
IN_LIST = {"dt": "/Lbl", "dd": "/LBody"}

_build = tags._build_box_tree


def install() -> None:
    """From now on every tag is completed: the function calls itself by the name that is replaced here."""
    tags._build_box_tree = _complete


def _complete(box: Any, parent: pydyf.Dictionary, pdf: pydyf.PDF, *rest: Any) -> Iterator[pydyf.Dictionary]:
    element = box.element
    for made in _build(box, parent, pdf, *rest):
        if parent["S"] == "/L" and made["S"] == "/NonStruct" and not made["K"]:
            continue  # what only clears floats after a list's items
        if element is not None and element.tag not in ("html", "body"):
            _describe(element, made, parent, pdf)
        yield made


def _describe(element: Any, made: pydyf.Dictionary, parent: pydyf.Dictionary, pdf: pydyf.PDF) -> None:
    if element.get("id", "").startswith(BLANK):
        made["T"] = pydyf.String(BLANK)  # by which print/join.py finds it
    if language := element.get("lang"):
        made["Lang"] = pydyf.String(language)
    if made["S"] == "/TH":
        made["A"]["Scope"] = "/Row" if element.get("scope", "").startswith("row") else "/Column"
    if element.tag == "div" and parent["S"] == "/L":  # a term and what is told of it
        made["S"] = "/LI"
    elif element.tag in IN_LIST and parent["S"] == "/Div":
        made["S"] = IN_LIST[element.tag]
        for kid in made["K"]:
            pdf.objects[int(kid.split()[0])]["S"] = "/Div"
