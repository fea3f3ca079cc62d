"""The macros of the pages: each a line or two over `pieces`.

A name that nobody knows, or a value that is missing, ends the build with one line that names the
page and the macro.
"""

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, NoReturn, Protocol

from jinja2 import Environment, StrictUndefined

MACROS = ("live", "do_this", "caution", "calculator", "job_table", "next_jobs", "drawing", "sources", "truck_form", "month_check",
          "work_order", "values",
          "formulas", "lights", "light_steps", "language_choice", "every_answer", "records", "book", "sheets",
          "open_slip")


class Plugin(Protocol):
    """What the macros plugin hands over, as far as it is used here."""

    conf: Mapping[str, Any]
    page: Any  # another one in the theme's successor: see _path
    env: Environment

    def macro(self, macro: Callable[..., str], name: str) -> object: ...


def define_env(env: Plugin) -> None:
    """What the macros plugin calls once a build."""
    from macros.pages import Pages  # not above: the step after the build needs none of it

    pages = Pages(env.conf["docs_dir"])
    for name in MACROS:
        env.macro(_one_line(env, name, getattr(pages, name)), name)


def on_pre_page_macros(env: Plugin) -> None:
    """Let a name that no macro has end the build as tersely as a wrong value."""
    page = _path(env.page)

    class Unknown(StrictUndefined):
        def _fail_with_undefined_error(self, *_told: object, **_named: object) -> NoReturn:
            raise SystemExit(f"docs/{page}: {{{{ {self._undefined_name} }}}}: no macro has this name")

        __call__ = __str__ = __getattr__ = _fail_with_undefined_error

    env.env.undefined = Unknown


def _path(page: Any) -> str:
    """Where a page stands in docs/; a page of the theme's successor says so in its own way."""
    return str(page.file.src_uri if hasattr(page, "file") else page.path)


def _one_line(env: Plugin, name: str, macro: Callable[..., object]) -> Callable[..., str]:
    @wraps(macro)
    def call(*told: object, **named: object) -> str:
        page = _path(env.page)
        try:
            return str(macro(page, *told, **named))
        except Exception as wrong:
            said = ", ".join([repr(t) for t in told] + [f"{k}={v!r}" for k, v in named.items() if k != "caller"])
            # SystemExit: the plugin turns every Exception into a page-long report.
            raise SystemExit(f"docs/{page}: {{{{ {name}({said}) }}}}: {wrong}") from None

    return call
