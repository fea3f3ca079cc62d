"""Pieces of an answer as HTML: the one renderer for page and paper.

Every function is pure and escapes what it is given. Nothing here writes a line break: Markdown
ends raw HTML at a blank line. The rows that page.js repeats stand in templates made by the same
functions, with names in braces where the words go.
"""

from pieces.book import book, entry_form
from pieces.cards import card, card_head, result_list, verdict
from pieces.jobs import (
    date_slip,
    do_this,
    do_this_acts,
    job_table,
    job_table_row,
    next_job_line,
    next_job_row,
    next_jobs,
    no_record,
    section_row,
)
from pieces.page_end import ORIGINS, page_end, page_sources, raw, templates
from pieces.records import records
from pieces.reference import formula_row, formulas, values_table, values_tables
from pieces.sheets import sheets
from pieces.slips import change_truck, live, open_calculator, open_slip, slip
from pieces.steps import (
    SIGNALS,
    caution,
    caution_open,
    cautions,
    signal_word,
    source_line,
    source_list,
    source_row,
    work_row,
    working,
)
from pieces.tables import fold, list_result, table, table_row
from pieces.values import Value, data, large, look, plain

__all__ = [
    "ORIGINS", "SIGNALS", "Value", "book", "card", "card_head", "caution", "caution_open", "cautions", "change_truck",
    "data", "date_slip", "do_this", "do_this_acts", "entry_form", "fold", "formula_row", "formulas", "job_table",
    "job_table_row", "large", "list_result", "live", "look", "next_job_line", "next_job_row", "next_jobs", "no_record",
    "open_calculator", "open_slip", "page_end", "page_sources", "plain", "raw", "records", "result_list", "section_row", "sheets",
    "signal_word", "slip", "source_line", "source_list", "source_row", "table", "table_row", "templates", "values_table", "values_tables",
    "verdict", "work_row", "working",
]
