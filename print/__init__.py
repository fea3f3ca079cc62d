"""Sheets of paper: a template and a words file each, filled with the calculators' answers for one truck."""

from print.sheet import NoSuchSheet, NotInThatLanguage, is_static, languages, names, render

__all__ = ["NoSuchSheet", "NotInThatLanguage", "is_static", "languages", "names", "render"]
