"""How hard the guide is to read, by two formulas that look at different things; `make audit` runs this.

Flesch and Kincaid count syllables, Coleman and Liau count letters: a chapter may not pass by short words alone or short
sentences alone. `tests/site/test_words.py` holds the first of them in every run.
"""

from statistics import median

import pytest
import textstat

from tests.site import test_words as words

pytestmark = pytest.mark.audit

FORMULAS = {"Flesch-Kincaid": textstat.flesch_kincaid_grade, "Coleman-Liau": textstat.coleman_liau_index}
LOWEST_GRADE = 4.0  # below that the sentences are chopped, and a reader has to join them again


def grades(chapter: str, formula: str) -> list[float]:
    told = [prose for prose in map(words.prose, words.sections(chapter)) if len(prose.split()) >= words.ENOUGH_WORDS]
    return [FORMULAS[formula](prose) for prose in told]


@pytest.mark.parametrize("formula", FORMULAS)
@pytest.mark.parametrize("chapter", words.CHAPTERS)
def test_the_prose_of_a_chapter_reads_at_eighth_grade_or_below(chapter: str, formula: str) -> None:
    found = grades(chapter, formula)
    assert LOWEST_GRADE <= median(found) <= words.HIGHEST_GRADE, f"{chapter}: {[round(grade, 1) for grade in found]}"


@pytest.mark.parametrize("formula", FORMULAS)
def test_hard_words_would_be_found(formula: str) -> None:
    hard = "Subsequent applications of catalytically active preparations necessitate extraordinarily careful deliberation."
    assert FORMULAS[formula](hard) > words.HIGHEST_GRADE
