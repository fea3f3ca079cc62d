"""A page that asks for what isn't there ends the build with one line that names page and macro."""

import os
import subprocess
import sys

import pytest

from tools.ready import ROOT

CONFIG = """
site_name: Trial
use_directory_urls: false
theme: {name: mkdocs}
plugins: [{macros: {module_name: macros, on_error_fail: true, on_undefined: strict}}]
markdown_extensions: [attr_list, md_in_html]
validation: {not_found: warn, anchors: warn}
"""


@pytest.fixture
def built(tmp_path):
    """Builds one page of the given Markdown; gives back the run and the page."""
    (tmp_path / "docs" / "drawings").mkdir(parents=True)
    (tmp_path / "docs" / "includes").mkdir()
    for words in (ROOT / "docs" / "includes").glob("*.toml"):
        (tmp_path / "docs" / "includes" / words.name).symlink_to(words)
    (tmp_path / "mkdocs.yml").write_text(CONFIG)
    (tmp_path / "macros").symlink_to(ROOT / "macros")  # the plugin looks beside mkdocs.yml only

    def build(text):
        (tmp_path / "docs" / "index.md").write_text(text)
        run = subprocess.run(
            [sys.executable, "-m", "mkdocs", "build", "--strict"],
            cwd=tmp_path, env=os.environ | {"PYTHONPATH": str(ROOT), "SOURCE_DATE_EPOCH": "1795608000"},
            capture_output=True, text=True, check=False,
        )
        page = tmp_path / "site" / "index.html"
        return run, page.read_text() if page.exists() else ""

    return build


def said(run):
    return [line for line in run.stderr.splitlines() if line and not line.startswith("INFO")]


@pytest.mark.slow
@pytest.mark.parametrize(("text", "macro", "why"), [
    ('{{ live("idle_bill.cost_per_yaer") }}', 'live("idle_bill.cost_per_yaer")', "did you mean idle_bill.cost_per_year"),
    ('{{ live("fuel_prise") }}', 'live("fuel_prise")', "no number"),
    ('{{ live("measured_def_share_of_fuel") }}', 'live("measured_def_share_of_fuel")', "no value"),
    ('{{ live("fuel_price.spread") }}', 'live("fuel_price.spread")', "has no spread"),
    ('{{ live("service_due.jobs.engine_oyl.due_date") }}', "live(", "no number"),
    ('{{ calculator("idle_bil") }}', 'calculator("idle_bil")', "did you mean idle_bill"),
    ('{{ drawing("nowhere") }}', 'drawing("nowhere")', "nowhere.svg"),
    ('{% call do_this(job="separator_drian") %}\n1. Drain.\n{% endcall %}', 'do_this(job="separator_drian")', "mean separator_drain"),
    ('{% call do_this(check="idle_bill") %}\n1. Look.\n{% endcall %}', 'do_this(check="idle_bill")', "no page has the calculator"),
    ("{% call do_this() %}\n1. a\n2. b\n3. c\n4. d\n{% endcall %}", "do_this()", "at most three"),
    ('{% call caution("BEWARE", "It bites.") %}\nStay away.\n{% endcall %}', 'caution("BEWARE"', "DANGER"),
    ('{{ calculater("idle_bill") }}', "calculater", "no macro has this name"),
    ("{{ fuel_price }}", "fuel_price", "no macro has this name"),
])
def test_what_is_not_there_fails_in_one_line(built, text, macro, why):
    run, _ = built(f"# Trial\n\n{text}\n\n{{{{ sources() }}}}\n")
    assert run.returncode
    (line,) = said(run)
    assert line.startswith("docs/index.md: ")
    assert macro.replace('"', "'") in line
    assert why in line


@pytest.mark.slow
def test_a_broken_link_fails_and_names_the_page(built):
    run, _ = built("# Trial\n\n[away](nowhere.md)\n")
    assert run.returncode
    assert any("index.md" in line and "nowhere.md" in line for line in said(run))


@pytest.mark.slow
def test_a_link_in_a_do_this_box_is_checked_too(built):
    run, _ = built("# Trial\n\n{% call do_this() %}\n1. Look [there](nowhere.md).\n{% endcall %}\n")
    assert run.returncode
    assert any("nowhere.md" in line for line in said(run))


@pytest.mark.slow
def test_numbers_without_their_sources_fail(built, tmp_path):
    (tmp_path / "docs" / "after.md").write_text('# After\n\n{{ live("fuel_price") }}\n\n{{ sources() }}\n')
    run, _ = built('# Trial\n\n{{ live("fuel_price") }}\n')
    assert run.returncode
    assert any("does not end with {{ sources() }}" in line and "index.md" in line for line in said(run))


@pytest.mark.slow
def test_a_good_page_has_each_slip_once_and_no_broken_markdown(built):
    run, page = built(
        '# Trial\n\nBurn {{ live("idle_bill.cost_per_year") }} and again {{ live("idle_bill.cost_per_year") }}.\n\n'
        '{% call do_this(job="engine_oil", check="idle_bill") %}\n1. Pay {{ live("fuel_price") }}.\n2. Go.\n{% endcall %}\n\n'
        '{% call caution("WARNING", "It burns.") %}\nKeep *off*.\n{% endcall %}\n\n{{ calculator("idle_bill") }}\n\n{{ job_table() }}\n\n'
        'In the cold it takes {{ live("regeneration.warm_up_time", outside_temperature="-20") }}.\n\n{{ values() }}\n\n{{ sources() }}\n')
    assert not run.returncode, run.stderr
    assert page.count('popovertarget="slip-idle_bill-cost_per_year"') == 3  # twice in the sentence, once to close
    assert page.count('id="slip-idle_bill-cost_per_year"') == 1
    assert page.count("<ol>") == 1 and "<li>Pay <button" in page
    assert "<p>It burns.</p>" in page and "Keep <em>off</em>." in page
    assert page.count('popovertarget="slip-regeneration-warm_up_time-outside_temperature--20"') == 2
    assert 'data-live="regeneration' not in page  # a number with given inputs never follows the saved truck
    assert 'id="value-fuel_price"' in page
    assert "<p><p>" not in page and "{{" not in page and "markdown=" not in page
