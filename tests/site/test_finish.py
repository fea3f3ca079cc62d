"""The step after the build: what it adds to a page, and what it refuses."""

import base64
import hashlib
import re
from pathlib import Path

import pytest

import calculators
from macros import checks, finish
from macros.glossary import first_words_only, words_that_open

PAGE = """<!doctype html>
<html lang="en"><head>
<meta charset="utf-8">
<title>A page</title>
{head}</head><body>
{body}
</body></html>
"""


def page(body: str = "", head: str = "") -> str:
    return PAGE.format(body=body, head=head)


def faults(tmp_path: Path, **bodies: str) -> list[str]:
    """What is found wrong with a site of these pages, named without their ending."""
    pages = {}
    for name, body in bodies.items():
        (tmp_path / f"{name}.html").write_text(page(body), "utf-8")
        pages[f"{name}.html"] = checks.read(f"{name}.html", page(body))
    return [fault for one in pages.values() for fault in checks.faults(one, pages, tmp_path)]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<button popovertarget="slip-x">35</button>', 'popovertarget="slip-x"'),
        ('<label for="x">X</label>', 'for="x"'),
        ('<input aria-describedby="e1 e2"><p id="e1">No.</p>', 'aria-describedby="e2"'),
        ('<p id="a"></p><p id="a"></p>', 'id="a" stands 2 times'),
        ('<p style="color: red">x</p>', "style attributes"),
        ('<template><p style="color: red">x</p></template>', "style attributes"),
        ('<p onclick="x()">x</p>', "inline handlers"),
        ('<a href=" JavaScript:x()">x</a>', "scripts in addresses"),
        ('<section data-calculator="a"><p>no form</p></section>', "no <form id=…>"),
        ('<section data-calculator="a"></section><section data-calculator="a"><form id="b"></form></section>', "no <form id=…>"),
        ('<a href="gone.html">x</a>', "a file that is not there"),
        ('<img src="gone.svg" alt="">', "a file that is not there"),
        ('<a href="../up.html">x</a>', "a file that is not there"),
        ('<a href="#nowhere">x</a>', "a place that it.html does not have"),
        ('<a href=".">x</a>', "leads to a folder"),
        ('<a href="/it.html">x</a>', "starts at the root of a host"),
        ('<script src="https://elsewhere.example/x.js"></script>', "another host"),
        ('<img src="//elsewhere.example/x.png" alt="">', "another host"),
    ],
)  # fmt: skip
def test_a_page_that_would_not_work_is_refused_by_name(tmp_path: Path, body: str, said: str) -> None:
    found = faults(tmp_path, it=body)
    assert found
    assert all(fault.startswith("it.html: ") and "\n" not in fault for fault in found)
    assert any(said in fault for fault in found)


def test_a_page_that_works_is_not_refused(tmp_path: Path) -> None:
    assert faults(
        tmp_path,
        it='<h1 id="top">It</h1> <a href="other%20page.html#there">x</a> <a href="#top">up</a> <a href="it.html">me</a>'
        '<button popovertarget="slip-x">35</button><div id="slip-x" popover></div>'
        '<section data-calculator="a"><header></header><form id="idle_bill"><input id="i"><label for="i">x</label></form></section>'
        '<template><p id="row"></p></template><template><p id="row"></p></template>'
        '<a href="https://elsewhere.example/">a link may leave</a><img src="data:image/gif;base64,R0" alt="">',
        **{"other page": '<h2 id="there">Other</h2>'},
    ) == []


def test_the_policy_allows_the_inline_scripts_of_the_page_and_no_others() -> None:
    script, style = "let a = '<b>' && 1;\n", "p { margin: 0 }"
    text = finish.finished(
        page(f'<script>{script}</script><script type="application/json">{{"a": 1}}</script>', f"<style>{style}</style>"),
        "v1", "k 1 2 3",
    )  # fmt: skip
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)[1]
    assert policy.count("sha256-") == 2
    for part, allowed in ((script, "script-src"), (style, "style-src")):
        digest = base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in re.search(rf"{allowed} ([^;]*)", policy)[1]
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy


def test_the_metas_stand_before_all_that_loads_and_once_however_often_it_runs() -> None:
    once = finish.finished(page("", '<link rel="stylesheet" href="a.css"><script src="assets/runtime.js"></script>'), "v1", "k 1 2 3")
    assert re.findall(r"<(meta|link|script|title)\b", once)[:5] == ["meta", "meta", "meta", "meta", "title"]
    assert finish.finished(once, "v1", "k 1 2 3") == once
    assert 'name="site-version" content="v2"' in finish.finished(once, "v2", "k 1 2 3")


def test_a_full_stop_stays_with_its_number() -> None:
    button = '<button class="live yours" type="button">35 minutes</button>'
    once = finish.finished(page(f"<p>Drive {button}. Then {button} more.</p>"), "v1", "k")
    assert f'<span class="keep">{button}.</span> Then {button} more' in once
    assert finish.finished(once, "v1", "k") == once


def test_only_the_first_of_a_glossary_word_is_marked() -> None:
    def marked(word: str) -> str:
        return f'<abbr title="what {word} is">{word}</abbr>'

    text = page(
        f"<h2>{marked('DEF')}</h2><p>a<br>{marked('DEF')} b {marked('DEF')} c {marked('DPF')}</p><a href='#'>{marked('SCR')}</a>"
        f'<section class="dothis"><p>{marked("SCR")}</p></section><p>{marked("SCR")}<img src="x" alt="">{marked("SCR")}</p>'
        "<script>let a = '<abbr title=\"x\">' + 1 < 2;</script>"
    )
    assert first_words_only(text) == page(
        f"<h2>DEF</h2><p>a<br>{marked('DEF')} b DEF c {marked('DPF')}</p><a href='#'>SCR</a>"
        f'<section class="dothis"><p>SCR</p></section><p>{marked("SCR")}<img src="x" alt="">SCR</p>'
        "<script>let a = '<abbr title=\"x\">' + 1 < 2;</script>"
    )
    assert first_words_only(first_words_only(text)) == first_words_only(text)


def test_a_glossary_word_opens_its_meaning_under_a_finger_too() -> None:
    text = page('<p>Let the <abbr title="Black &quot;carbon&quot;.">soot</abbr>, burn.</p><p><span data-page-end></span></p>')
    once = words_that_open(text)
    assert ('<p>Let the <span class="keep"><abbr title="Black &#34;carbon&#34;.">'
            '<button class="term" type="button" popovertarget="word-soot">soot</button></abbr>,</span> burn.</p>') in once
    slip = once.split("</p><div ")[1].split("<p><span data-page-end>")[0]
    assert 'id="word-soot" popover' in slip
    assert "<h2>Soot</h2><p>Black &#34;carbon&#34;.</p>" in slip
    assert words_that_open(first_words_only(once)) == once


def test_a_glossary_word_stays_a_hint_where_a_page_has_no_place_for_slips() -> None:
    text = page('<p><abbr title="Black carbon.">soot</abbr></p>')
    assert words_that_open(text) == text


def test_no_glossary_word_stands_between_a_finger_and_a_light() -> None:
    text = page('<div class="light"><p><abbr title="What it is.">DEF</abbr></p></div><p><abbr title="What it is.">DEF</abbr></p>')
    assert first_words_only(text) == page('<div class="light"><p>DEF</p></div><p><abbr title="What it is.">DEF</abbr></p>')


def test_the_version_follows_the_scripts_of_the_site(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets" / "a.js").write_text("1")
    first = finish.site_version(tmp_path)
    assert finish.site_version(tmp_path) == first
    (tmp_path / "assets" / "a.js").write_text("2")
    assert finish.site_version(tmp_path) != first


def test_a_script_goes_without_comments_and_its_texts_as_they_are(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    script = tmp_path / "assets/a.js"
    script.write_text("""
/* what it does,
   over lines */
  // why
  /** @param {{a: string}} b */
  const f = (b, /** @type {{ x: {} }} */ c) => `  // ${b}
    /* kept */ ${/** @type {Map<string, {}>} */ (c).x}`; // beside code
  const url = "a // b", it = `c // d
  e`; // the truck's own
  /**
   * @returns {string}
   */
  /* one */ g("/* text */");
""")
    finish.lighten(tmp_path)
    assert script.read_text() == """const f = (b, c) => `  // ${b}
    /* kept */ ${/** @type {Map<string, {}>} */ (c).x}`; // beside code
const url = "a // b", it = `c // d
  e`; // the truck's own
/* one */ g("/* text */");
"""


def test_a_style_sheet_inside_the_themes_script_is_allowed(tmp_path: Path) -> None:
    bundle = tmp_path / "assets" / "javascripts" / "bundle.1a2b.min.js"
    bundle.parent.mkdir(parents=True)
    bundle.write_text("""var a=".md-nav",b='.u{margin:0}.v [href="#"]{color:red}',c=`.${a}{x}`;""")
    styles = finish.styles_of_scripts(tmp_path)
    assert styles == ['.u{margin:0}.v [href="#"]{color:red}']
    digest = base64.b64encode(hashlib.sha256(styles[0].encode()).digest()).decode()
    assert f"style-src 'self' 'sha256-{digest}';" in finish.finished(page("<script>1</script>"), "v1", "k 1 2 3", styles)


def test_a_page_asks_for_no_element_without_a_name() -> None:
    theirs = "var target=document.getElementById(location.hash.slice(1));target&&target.name&&0"
    assert "<script>var target=location.hash&&document.getElementById(location.hash.slice(1));target&&" in finish.finished(
        page(f"<script>{theirs}</script>"), "v1", "k 1 2 3")


def test_a_style_sheet_that_asks_for_a_missing_file_is_named(tmp_path: Path) -> None:
    sheet = tmp_path / "a.css"
    sheet.write_text('@font-face { src: url("fonts/gone.woff2") } p { mask: url(#m); background: url(data:,x) }')
    assert list(checks.style_faults(sheet, tmp_path)) == ["a.css: url(fonts/gone.woff2) leads to a file that is not there"]


def test_it_says_how_it_is_called(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert finish.main([]) == 2
    assert finish.main([str(tmp_path / "no such folder")]) == 2
    assert "usage: python -m macros.finish SITE" in capsys.readouterr().err


# ---- the built site ----


def test_every_page_has_its_policy_and_version(site: Path) -> None:
    versions = set()
    for path in site.rglob("*.html"):
        text = path.read_text("utf-8")
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
        assert policy and policy[1] == finish.policy(checks.read("", text)), path
        versions.add(re.search(r'name="site-version" content="([^"]*)"', text)[1])
    assert len(versions) == 1


def test_the_bar_names_the_truck_whose_numbers_a_page_holds(site: Path) -> None:
    bars = {path.name: re.findall(r'<p class="truckbar example">.*?</svg>(.*?)</span><span>', path.read_text("utf-8"))
            for path in site.glob("*.html")}
    assert {tuple(bar) for bar in bars.values() if bar} == {(f"For {calculators.example_name()}, an example truck",)}
    assert bars["fuel.html"] and not bars["index.html"]


def test_nothing_lies_about_that_no_page_needs(site: Path) -> None:
    for pattern in finish.NOT_NEEDED:
        assert not list(site.glob(pattern)), pattern


def test_the_site_asks_no_other_host(site: Path) -> None:
    """What a page loads, by its tags; scripts are watched in a real browser."""
    for path in site.rglob("*.html"):
        for tag in checks.read(path.name, path.read_text("utf-8")).tags:
            if tag.name in checks.LOADED:
                assert not any(re.match(r"(https?:)?//", tag.values.get(key, "")) for key in checks.ADDRESSES), path


def test_the_search_dialog_has_a_name(site: Path) -> None:
    assert 'role="dialog" aria-label="Search"' in (site / "index.html").read_text("utf-8")


def test_blanks_at_a_lines_start_go_but_where_they_are_read() -> None:
    page = "<p>\n    a\n  b</p>\n<pre>\n  c</pre>\n  <script>\n  d()</script>\n\t<i>e</i>"
    assert finish.unindented(page) == "<p>\na\nb</p>\n<pre>\n  c</pre>\n<script>\n  d()</script>\n<i>e</i>"


@pytest.mark.parametrize("folder", ["assets", "sheets"])
def test_styles_go_without_blanks_but_for_those_that_say_something(tmp_path: Path, folder: str) -> None:
    (tmp_path / folder).mkdir()
    style = tmp_path / folder / "a.css"
    written = '/* why */\n@media (width > 9px) and (color) {\n  a :hover, b { content: "of: {a}"; margin: 0 1px; } /* so */\n}\n'
    style.write_text(written, "utf-8")
    finish.lighten(tmp_path)
    assert style.read_text("utf-8") == '@media (width > 9px) and (color){\na :hover,b{content:"of: {a}";margin:0 1px;}}\n'
