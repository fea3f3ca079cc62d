"""Sheets a second in a pack, against a plain loop: each sheet laid out and written as a PDF of its own."""

import statistics
import time
from collections.abc import Callable

import weasyprint

import calculators
import print as paper
from print import pdf

COPIES = 2
ROUNDS = 3
TODAY = "2026-11-25"


def main() -> None:
    pages = [
        paper.render(sheet, calculators.example_truck(truck), today=TODAY)
        for truck in calculators.example_trucks()
        for sheet in paper.names()
    ] * COPIES
    rounds = [(seconds(pack, pages), seconds(loop, pages)) for _ in range(ROUNDS)]
    ours, plain = (statistics.median(column) for column in zip(*rounds, strict=True))
    many = len(pages)
    print(f"sheets: {plain / ours:.2f} times a plain loop ({many / ours:.1f} and {many / plain:.1f} sheets a second)")


def pack(pages: list[str]) -> None:
    pdf.pack(pdf.lay_out(page) for page in pages)


def loop(pages: list[str]) -> None:
    for page in pages:
        weasyprint.HTML(string=page).write_pdf(stylesheets=list(pdf.STYLES), pdf_variant="pdf/ua-1", pdf_forms=True)


def seconds(work: Callable[[list[str]], None], pages: list[str]) -> float:
    began = time.process_time()  # both are one process: what else the machine does would only blur it
    work(pages)
    return time.process_time() - began
