"""Sheets of paper: a template and a words file each, filled with the calculators' answers for one truck."""

from print.choice import NoSuchSheet, names
from print.sheet import NotInThatLanguage, is_static, languages, render

__all__ = ["NoSuchSheet", "NotInThatLanguage", "is_static", "languages", "names", "render"]
