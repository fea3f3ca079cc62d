"""A truck's record on paper holds its whole book, over as many pages as that takes; the slips ask for it in the order of the table."""

import re
from datetime import date, timedelta

import page as validator
import pypdfium2
import pytest

import calculators
import print as paper
from calculators.engine.book_record import record
from calculators.engine.book_table import COLUMNS
from print import pdf, wording
from print import record as records
from print.order import PAPERS
from tests.print.paper import TODAY, WHO, said, words_of

BARE = {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": "Big Red", "facts": {}, "interval": {}}
HAND = 0.3 * 72  # points: what a hand needs of a line


def truck(*book, **more):
    return BARE | {"book": list(book)} | more


def html(*book, **more):
    return paper.render("trucks-record", truck(*book, **more), today=TODAY)


def laid(source, size="letter"):
    return pdf.lay_out(source, size)


def rows(source):
    """The cells of each entry of a record."""
    table = re.search(r'class="group entries".*?</section>', source, re.S)[0]
    lines = re.findall(r"<tr(?: class=[^>]*)?>(<td.*?)</tr>", table, re.S)
    return [[re.sub("<[^>]+>", "", cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", line, re.S)] for line in lines]


def test_a_year_stands_row_by_row():
    source = paper.render("trucks-record", None, today=TODAY)
    book = calculators.example_truck("juniper")["book"]
    found = rows(source)
    assert len(found) == len(book) and f"{len(book)} entries in this book." in source
    days = [date.fromisoformat(TODAY) - timedelta(raw["days_ago"]) for raw in book]
    assert [row[0] for row in found] == [f"{day:%b} {day.day}, {day.year}" for day in sorted(days, reverse=True)]
    oil = next(raw for raw in book if raw.get("job") == "engine_oil")
    assert [f"{float(oil['odometer'].split()[0]):,.0f}", oil["by"], "yes"] in [[row[1], row[4], row[5]] for row in found]
    for key in ("fuel_economy_measured", "fuel_economy_low", "idle_rate_high", "burns_broken_off"):
        assert f'data-live="own_records.{key}"' in source


def test_three_hundred_entries_go_on_from_page_to_page_and_no_row_is_broken_in_two():
    first = date(2025, 1, 1)
    says = "begins{0} and says in two lines what there is to say, ends{0}"
    book = [{"id": f"{at:03}", "date": str(first + timedelta(2 * at)), "kind": "note", "note": says.format(at)} for at in range(300)]
    data = pdf.write([laid(html(*book, name="Снегоход 12"))])
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data)]
    assert 8 <= len(pages) <= 20
    for number, text in enumerate(pages, 1):
        assert f"Truck’s record, {number} / {len(pages)}" in text and "Снегоход 12" in text
        assert set(re.findall(r"begins(\d+)", text)) == set(re.findall(r"ends(\d+)", text))
        assert re.search(r"Date\s+Miles\s+Hours\s+What", text) or number == len(pages)
    assert [int(at) for at in re.findall(r"begins(\d+)", "".join(pages))] == list(range(299, -1, -1))


CORRECTED = ({"id": "a", "date": "2026-10-06", "kind": "fuel", "fuel": "42.1 gal"},
             {"id": "b", "date": "2026-10-06", "kind": "fuel", "fuel": "22.1 gal", "replaces": "a", "written": "2026-10-20T10:00:00Z"},
             {"id": "c", "date": "2026-10-07", "kind": "note", "note": "taken back"}, {"id": "d", "kind": "deleted", "replaces": "c"},
             {"id": "e", "date": "2026-11-18", "kind": "job", "job": "engine_oil", "odometer": "88080 mi", "estimated": True})


def test_a_correction_and_a_deletion_are_counted_and_said():
    source = html(*CORRECTED)
    assert [row[3] for row in rows(source)] == ["Engine oil and its filter", "Fuel: 22.1 gal, full, corrected Oct 20, 2026"]
    assert "5 entries in this book." in source and "2 of them count and stand here." in source
    assert "42.1" not in source and "taken back</span>" not in source and "about 88,080" in source
    assert "of them count" not in html(CORRECTED[0]) and "1 entry in this book." in html(CORRECTED[0])


def test_the_fingerprint_on_paper_is_the_books_and_a_day_is_in_one_line():
    made = record(CORRECTED, date.fromisoformat(TODAY)).fingerprint
    assert re.fullmatch("[0-9a-f]{8}( [0-9a-f]{8}){7}", made) and made in html(*CORRECTED)
    data = pdf.write([laid(html(*CORRECTED), "a4")])
    assert made.replace(" ", "") in said(data) and "Noentryyet" not in said(data)
    assert "Nov 18, 2026" in pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range(), "a day is broken over two lines"


def test_who_it_is_what_is_due_and_whom_the_rule_binds():
    source = html(*CORRECTED, identity=WHO | {"make": "Example", "owner": "Fir Street Snow"})
    for told in (WHO["vin"], WHO["tire_size"], WHO["model_year"], "EX 4217-AB", "Example", "Fir Street Snow", "Unit 4711b"):
        assert f">{told}</span>" in source
    jobs = calculators.answer("service_due", truck=truck(*CORRECTED), today=TODAY)["results"]["jobs"]
    assert {row["job"]["value"] for row in jobs} == set(re.findall(r'data-live="service_due\.jobs\.(\w+)\.due_date"', source))
    assert "49 CFR 396.3 (b)" in source and "binds motor carriers" in source


@pytest.mark.parametrize("size", PAPERS)
def test_without_entries_it_is_a_log_to_fill_in_by_hand(size, tmp_path):
    source = html(name="Ash")
    document = laid(source, size)
    data = pdf.write([document])
    assert len(pypdfium2.PdfDocument(data)) == 2
    assert "SHA-256" not in source and "Noentryyet" in said(data)
    for words in words_of(source):
        assert "".join(words.split()) in said(data), words
    assert [cell for row in rows(source) for cell in row] == [""] * 6 * wording.words("trucks-record", "en")["blank"]
    assert lines_to_write_on(document) == wording.words("trucks-record", "en")["blank"]
    file = tmp_path / "record.pdf"
    file.write_bytes(data)
    assert not validator.validate_pdf(str(file), profile="ua1").failures


def lines_to_write_on(document):
    """How many rows of tables are tall enough for a hand."""
    found = [box for page in document.pages for box in page._page_box.descendants() if box.element_tag == "tr"]
    return sum(box.height * pdf.POINTS >= HAND for box in found if type(box).__name__ == "TableRowBox")


def test_what_its_owner_wrote_stands_in_letters_that_paper_has():
    source = html({"id": "a", "date": "2026-10-06", "kind": "note", "note": "Заправка <b>№</b> 7"},
                  {"id": "b", "date": "2026-10-07", "kind": "note", "note": "東京"},
                  {"id": "c", "date": "2026-10-08", "kind": "job", "job": "coolant", "by": "The Johnson brothers’ garage on Mill Road"})
    words = [row[3] for row in rows(source)]
    assert words == ["Coolant, The Johnson brothers’ garage on Mill Road", f"A note: {records.LACKING}",
                     "A note: Заправка &lt;b&gt;№&lt;/b&gt; 7"]
    assert "Заправка" in said(pdf.write([laid(source)]))


def test_the_longest_entry_is_whole():
    text = "x" * 1000 + "y" * 1000
    data = pdf.write([laid(html({"id": "a", "date": "2026-10-06", "kind": "job", "job": "coolant", "part": text, "note": text}))])
    assert said(data).count("x") >= 2000 and said(data).count("y") >= 2000


@pytest.mark.parametrize(("letters", "kind"), [(600, "note"), (601, "note long")])
def test_only_a_long_entry_may_go_on_over_a_pages_end(letters, kind):
    """The page's script goes by the same word, so that print dialog and PDF break the record alike."""
    entry = {"id": "a", "date": "2026-10-06", "kind": "note", "note": "x" * letters}
    assert record([entry], date.fromisoformat(TODAY)).lines[0].kind == kind
    assert f'<tr class="{kind}">' in html(entry)


def test_slips_are_in_the_order_of_the_table_and_their_lines_fit_a_hand():
    words = wording.words("fuel-and-drain-slips", "en")
    for part in ("fill", "drain"):
        asked = words["tables"][part]
        assert [name for name in COLUMNS if name in asked] == asked and all(name in words for name in asked)
    document = laid(paper.render("fuel-and-drain-slips", truck(identity=WHO), today=TODAY))
    assert lines_to_write_on(document) - 2 == words["tables"]["fill_lines"] + words["tables"]["drain_lines"]  # and two lines of heads
