"""What a page of the built site may not have: `macros.finish` refuses a site where one has it."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

REFERENCES = ("popovertarget", "for", "list", "aria-describedby", "aria-labelledby")
LOADED = {"audio", "embed", "iframe", "image", "img", "input", "link", "object", "script", "source", "track", "use", "video"}
ADDRESSES = ("href", "src", "poster", "data", "xlink:href")


@dataclass(frozen=True)
class Tag:
    name: str
    values: dict[str, str]
    line: int
    spare: bool  # in a <template>: not part of the page until a script copies it


@dataclass
class Page:
    """A page as the checks and the policy need it."""

    name: str
    tags: list[Tag] = field(default_factory=list)
    scripts: list[str] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)

    @property
    def ids(self) -> list[str]:
        return [tag.values["id"] for tag in self.tags if "id" in tag.values and not tag.spare]

    @property
    def anchors(self) -> set[str]:
        return {*self.ids, *(tag.values["name"] for tag in self.tags if tag.name == "a" and "name" in tag.values)}


class _Reader(HTMLParser):
    def __init__(self, page: Page) -> None:
        super().__init__()
        self.page = page
        self.inline: list[str] | None = None
        self.templates = 0

    def handle_starttag(self, name: str, given: list[tuple[str, str | None]]) -> None:
        tag = Tag(name, {key: value or "" for key, value in given}, self.getpos()[0], self.templates > 0)
        self.page.tags.append(tag)
        self.templates += name == "template"
        if name == "style":
            self.inline = self.page.styles
        elif name == "script" and "src" not in tag.values and _runs(tag):
            self.inline = self.page.scripts

    def handle_endtag(self, name: str) -> None:
        self.templates -= name == "template"
        if name in ("script", "style"):
            self.inline = None

    def handle_data(self, text: str) -> None:
        if self.inline is not None:
            self.inline.append(text)


def _runs(script: Tag) -> bool:
    kind = script.values.get("type", "")
    return kind in ("", "module") or "javascript" in kind


def read(name: str, text: str) -> Page:
    page = Page(name)
    reader = _Reader(page)
    reader.feed(text)
    reader.close()
    return page


def faults(page: Page, pages: dict[str, Page], site: Path) -> Iterator[str]:
    """Each a line that ends the build: the page, where in it, and what is wrong."""
    for check in (_ids, _references, _inline, _calculators):
        yield from (f"{page.name}: {fault}" for fault in check(page))
    yield from (f"{page.name}: {fault}" for fault in _links(page, pages, site))


def _ids(page: Page) -> Iterator[str]:
    yield from (f'id="{name}" stands {times} times' for name, times in Counter(page.ids).items() if times > 1)


def _references(page: Page) -> Iterator[str]:
    there = set(page.ids)
    for tag in page.tags:
        for key in REFERENCES:
            for name in tag.values.get(key, "").split() if not tag.spare else ():
                if name not in there:
                    yield f'line {tag.line}: <{tag.name} {key}="{name}"> names no id of this page'


def _inline(page: Page) -> Iterator[str]:
    for tag in page.tags:
        for key, value in tag.values.items():
            if key == "style":
                yield f'line {tag.line}: <{tag.name} style="{value}">: the policy refuses style attributes, use a class'
            elif key.startswith("on"):
                yield f"line {tag.line}: <{tag.name} {key}=…>: the policy refuses inline handlers, use a script file"
            elif value.lstrip().lower().startswith("javascript:"):
                yield f"line {tag.line}: <{tag.name} {key}={value!r}>: the policy refuses scripts in addresses"


def _calculators(page: Page) -> Iterator[str]:
    """A card is followed by its own form before the next card."""
    open_card: Tag | None = None
    for tag in page.tags:
        if "data-calculator" in tag.values:
            if open_card:
                break
            open_card = tag
        elif tag.name == "form" and tag.values.get("id"):
            open_card = None
    if open_card:
        yield f"line {open_card.line}: this calculator card has no <form id=…>"


def _links(page: Page, pages: dict[str, Page], site: Path) -> Iterator[str]:
    for tag in page.tags:
        for key in ADDRESSES:
            if (address := tag.values.get(key)) and (fault := _broken(address, tag, page, pages, site)):
                yield f'line {tag.line}: <{tag.name} {key}="{address}"> {fault}'


def _broken(address: str, tag: Tag, page: Page, pages: dict[str, Page], site: Path) -> str:
    parts = urlsplit(address)
    if parts.scheme or parts.netloc:
        elsewhere = parts.netloc or parts.scheme not in ("data", "mailto", "tel", "about")
        return "asks another host: everything must come from the site itself" if elsewhere and _loads(tag) else ""
    if parts.path.startswith("/"):
        return "starts at the root of a host: it leads nowhere when the site is opened from a folder"
    target = _target(page.name, unquote(parts.path))
    if target is None or not (site / target).exists():
        return "leads to a file that is not there"
    if (site / target).is_dir():
        return "leads to a folder: opened from a folder that is a list of files, so name the page in it"
    anchor = unquote(parts.fragment)
    if anchor and target in pages and anchor not in pages[target].anchors:
        return f"leads to a place that {target} does not have"
    return ""


def _loads(tag: Tag) -> bool:
    return tag.name in LOADED


def _target(page: str, path: str) -> str | None:
    """The file in the site that ``path`` means on ``page``; None above the site's own folder."""
    if not path:
        return page
    steps: list[str] = []
    for step in (*PurePosixPath(page).parent.parts, *path.split("/")):
        if step == ".." and not steps:
            return None
        if step == "..":
            steps.pop()
        elif step not in ("", "."):
            steps.append(step)
    return "/".join(steps)


def style_faults(sheet: Path, site: Path) -> Iterator[str]:
    """Files that a style sheet asks for."""
    name = sheet.relative_to(site).as_posix()
    for address, target in asked_by_style(sheet, site):
        if (parts := urlsplit(address)).scheme or parts.netloc:
            yield f"{name}: url({address}) asks another host"
        elif target is None or not (site / target).is_file():
            yield f"{name}: url({address}) leads to a file that is not there"


def asked_by_style(sheet: Path, site: Path) -> Iterator[tuple[str, str | None]]:
    """Each address in a style sheet, with the file in the site that it means."""
    for address in re.findall(r"url\(\s*[\"']?([^\"')]+)", sheet.read_text("utf-8")):
        parts = urlsplit(address)
        if parts.scheme != "data" and parts.path:
            yield address, _target(sheet.relative_to(site).as_posix(), unquote(parts.path))


def asked_by_page(page: Page, site: Path) -> Iterator[str]:
    """The site's files that a page, and its style sheets, ask for without a reader's doing."""
    for tag in page.tags:
        if tag.name in ("img", "script") or (tag.name == "link" and tag.values.get("rel") in ("stylesheet", "icon")):
            parts = urlsplit(tag.values.get("href") or tag.values.get("src") or "")
            target = _target(page.name, unquote(parts.path)) if parts.path and not parts.scheme else None
            if target and (site / target).is_file():
                yield target
                if target.endswith(".css"):
                    yield from (asked for _, asked in asked_by_style(site / target, site) if asked and (site / asked).is_file())
