"""The step after the site's builder, whichever it is: `python -m macros.finish SITE`.

It brings the browser's Python, mends what the theme leaves undone, gives each page its policy and
the site's version, and refuses a site in which a page would not work.
"""

import base64
import hashlib
import json
import re
import shutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import calculators
from macros import chart_script, checks, emergency, licenses, offline, search
from macros.glossary import first_words_only, words_that_open
from macros.runtime.build import ROOT, CannotBuild, runtime

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'{scripts}; style-src 'self'{styles}; "
    "img-src 'self' data:; font-src 'self'; connect-src 'self'; worker-src 'self' blob:; frame-src 'self'; "
    "manifest-src 'self'; base-uri 'none'; form-action 'none'"
)
# A page that loads nothing, because it may be read far from the site, is allowed nothing: see macros/emergency.py.
ALONE = "default-src 'none'; style-src{styles}; font-src data:; base-uri 'none'; form-action 'none'"
INDENT = re.compile(r"\n[ \t\n]+")
# What a finished page has no more use for: the index is made, drawings within HTML need no namespace, and a text begins at its start.
SPENT = re.compile(r' (?:data-search-exclude|xmlns="http://www\.w3\.org/2000/svg"|text-anchor="start")(?=[ >/])')
NO_UNIT = re.compile(r'(?<= data-value=)("[^"]*") data-unit=""')
QUOTED = re.compile(r"""("[^"]*"|'[^']*')""")
BLANKS = re.compile(r"(?<=[{};,:])[ \t]+|[ \t]+(?=[{}])|^[ \t]+", re.M)
COMMENT = re.compile(r"/\*.*?\*/\n?", re.S)
TYPE = re.compile(r"/\*\* @(?:type|satisfies) \{.*?\} \*/ ?")  # within a line of a script, for tsc alone
BESIDE = re.compile(r"\s+// [^\"'`\n]*$")  # without a quote, so it stands in no text
AS_WRITTEN = re.compile(r"(<(?:pre|script|style|textarea)\b.*?</(?:pre|script|style|textarea)>)", re.S)
OURS = re.compile(r'\n? *<meta (?:http-equiv="Content-Security-Policy"|name="(?:site-version|runtime-parts)")[^>]*>')
NOT_NEEDED = (
    "assets/javascripts/lunr",      # the search's other languages
    "**/*.map",                     # for the theme's own developers
    "404.html",                     # its links start at the root of a host, so it works nowhere else
    "sitemap.xml", "sitemap.xml.gz",  # empty: the site has no address of its own
    "assets/worker.js",             # stands in runtime/
    "assets/service-worker.js",     # stands at the top, with its list
)  # fmt: skip
THEME_FIXES = (
    # A dialog needs a name for those who hear the page.
    (re.compile(r'(<div class="md-search" data-md-component="search" role="dialog")>'), r'\1 aria-label="Search">'),
    # HTML knows no autocomplete on a checkbox.
    (re.compile(r'(<input [^>]*type="checkbox"[^>]*?) autocomplete="off"'), r"\1"),
    # Some browsers load the next page ahead for it, which the policy refuses and a slow line need not carry.
    (re.compile(r'\n? *<link rel="(?:prev|next)"[^>]*>'), ""),
    # The theme's successor gives an address at the root of a host also to a site that has none.
    (re.compile(r'\n? *<link rel="canonical" href="/[^>]*>'), ""),
    # Without a fragment it asks for the element with no name, and Firefox's console says so on every page.
    (re.compile(r"(?<=<script>)var target=document\.getElementById\(location\.hash\.slice\(1\)\);"),
     "var target=location.hash&&document.getElementById(location.hash.slice(1));"),
)
QUOTED_STYLE = re.compile(r"""(["'`])(\.[\w-]+\{(?:(?!\1)[^\\])+\})\1""")
# The theme's successor tells its templates nothing that a macro found out, so this is filled in here.
EXAMPLE_NAME = "<span data-example-name></span>"
LANGUAGE_CHOICE = '<fieldset class="languages">'
# A line may break after a button, so a full stop after a live number would start the next line alone.
LIVE_THEN_STOP = re.compile(r'(?<!<span class="keep">)(<button class="live\b[^>]*>[^<]*</button>)([.,;:!?)]+)')


def finish(site: Path) -> list[str]:
    """Finish the site in place; what is wrong with it, a line each."""
    parts = place_runtime(site)
    chart_script.place(site)
    remove_unneeded(site)
    lighten(site)
    offline.draw_icons(site)
    emergency.place(site)
    search.rewrite(site)
    version = site_version(site)
    styles = styles_of_scripts(site)
    pages = {}
    for path in sorted(site.rglob("*.html")):
        text = finished(path.read_text("utf-8"), version, parts, styles)
        path.write_text(text, "utf-8")
        name = path.relative_to(site).as_posix()
        pages[name] = checks.read(name, text)
    return [
        *(fault for page in pages.values() for fault in checks.faults(page, pages, site)),
        *(fault for sheet in sorted(site.rglob("*.css")) for fault in checks.style_faults(sheet, site)),
        *offline.place(site, pages),
        *licenses.place(site),
    ]


def place_runtime(site: Path) -> str:
    """Copy the built runtime in; the words of the meta that tells pages what to expect."""
    shutil.rmtree(site / "runtime", ignore_errors=True)
    shutil.copytree(runtime(), site / "runtime", ignore=shutil.ignore_patterns("parts.json"))
    parts = json.loads((runtime() / "parts.json").read_text("utf-8"))
    return " ".join(str(parts[name]) for name in ("key", "wasm", "snapshot", "memory"))


def remove_unneeded(site: Path) -> None:
    for pattern in NOT_NEEDED:
        for path in list(site.glob(pattern)):
            shutil.rmtree(path) if path.is_dir() else path.unlink()


def lighten(site: Path) -> None:
    """Our own scripts and styles without what only their makers read: comments, what a line begins with, a style's blanks."""
    for path in (*(site / "assets").glob("*.css"), *(site / "sheets").glob("*.css")):
        parts = QUOTED.split(COMMENT.sub("", path.read_text("utf-8")))
        path.write_text("".join(part if at % 2 else BLANKS.sub("", part) for at, part in enumerate(parts)), "utf-8")
    for path in (site / "assets").glob("*.js"):
        path.write_text("".join(_lines_that_run(path.read_text("utf-8"))), "utf-8")


def _lines_that_run(script: str) -> Iterator[str]:
    """A text in back quotes that goes over several lines stays as it is written."""
    in_text = in_comment = False
    for line in script.splitlines(keepends=True):
        if not in_text:
            line = TYPE.sub("", line).lstrip(" \t")
            begins = line.startswith("/*") and line.rstrip().partition("*/")[2] == ""
            if in_comment or begins or line.startswith(("//", "\n")):
                in_comment = (in_comment or begins) and "*/" not in line
                continue
            beside = BESIDE.search(line)
            if beside and line.count("`", 0, beside.start()) % 2 == 0:
                line = line[: beside.start()] + "\n"
        yield line
        in_text ^= line.count("`") % 2 == 1


def site_version(site: Path) -> str:
    """Changes with the rules and with the scripts and styles: saved answers of another version are old."""
    digest = hashlib.sha256()
    for top in (ROOT / "calculators", site / "assets"):
        for path in sorted(top.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                digest.update(f"\0{path.relative_to(top).as_posix()}\0".encode() + path.read_bytes())
    return digest.hexdigest()[:12]


def styles_of_scripts(site: Path) -> list[str]:
    """Style sheets that the theme's script brings along, for the policy; today's has none, its successor's search one."""
    bundles = sorted(site.glob("assets/javascripts/bundle.*.js"))
    return [found[2] for path in bundles for found in QUOTED_STYLE.finditer(path.read_text("utf-8"))]


def finished(text: str, version: str, parts: str, styles: Sequence[str] = ()) -> str:
    """One page with the theme's gaps mended and with our metas, as early in its head as may be."""
    text = NO_UNIT.sub(r"\1", SPENT.sub("", unindented(OURS.sub("", text)))).replace(EXAMPLE_NAME, f"{calculators.example_name()}, ")
    for gap, mended in THEME_FIXES:
        text = gap.sub(mended, text)
    text = words_that_open(first_words_only(text))
    if LANGUAGE_CHOICE in text:
        text = text.replace("<body", "<body data-languages", 1)
    text = LIVE_THEN_STOP.sub(r'<span class="keep">\1\2</span>', text)
    metas = [f'<meta http-equiv="Content-Security-Policy" content="{policy(checks.read("", text), styles)}">',
             f'<meta name="site-version" content="{version}">']
    if "assets/runtime.js" in text:
        metas.append(f'<meta name="runtime-parts" content="{parts}">')
    # The charset must stand in a page's first kilobyte, so it goes before the long policy.
    start = re.search(r"<meta charset=[^>]*>", text) or re.search(r"<head[^>]*>", text)
    if not start:
        raise CannotBuild("a page has no <head>")
    return text[: start.end()] + "".join(f"\n{meta}" for meta in metas) + text[start.end() :]


def unindented(text: str) -> str:
    """A page without the blanks that only its makers' templates begin lines with: a device keeps all pages, and no reader sees them."""
    return "".join(part if at % 2 else INDENT.sub("\n", part) for at, part in enumerate(AS_WRITTEN.split(text)))


def policy(page: checks.Page, styles: Sequence[str] = ()) -> str:
    """Everything from the site itself; of inline scripts and styles, just this page's own and the theme's ``styles``."""
    if not any(tag.name in ("link", "script", "img") for tag in page.tags):
        return ALONE.format(styles=_hashes(page.styles))
    return POLICY.format(scripts=_hashes(page.scripts), styles=_hashes([*page.styles, *styles]))


def _hashes(texts: list[str]) -> str:
    digests = (base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in texts)
    return "".join(f" 'sha256-{digest}'" for digest in dict.fromkeys(digests))


def main(words: list[str]) -> int:
    if len(words) != 1 or not Path(words[0]).is_dir():
        print("usage: python -m macros.finish SITE (the folder that the builder wrote)", file=sys.stderr)
        return 2
    try:
        wrong = finish(Path(words[0]))
    except CannotBuild as stopped:
        wrong = [str(stopped)]
    print(*wrong, sep="\n", end="\n" if wrong else "", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
