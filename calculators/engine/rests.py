"""What an answer's values rest on: what its owner told, what is the example's, and what only the owner can tell."""

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any

from calculators.engine.facts import Gathered
from calculators.engine.figures import FIGURES, Missing, Untold, figure, keys
from calculators.engine.rules import Book
from calculators.engine.trace import Names, names_of, plain_of, strongly, trace

YOURS, PARTLY, EXAMPLE = "yours", "partly", "example"
_UNTOLD = "untold"
_BOOK = "book"  # what reads the truck's entries themselves rests on them all; they are no input
_SOMETHING = 1
_NAMED = 2  # of what to tell, in a sentence
_ORDER = {name: at for at, name in enumerate(FIGURES)}
_IN_BRACES = re.compile(r"\{(\w+)\}")


class Rests:
    """What each value of one answer rests on; its ``seen`` are the values of a trace."""

    def __init__(self, book: Book, got: Gathered) -> None:
        self.book, self.known = book, got.known
        self.whose = {key: found for need in got.known for key, found in _whose(need, got)}
        carried = {key: {key, *by} & self.whose.keys() for key, by in ({key: () for key in self.whose} | got.settled).items()}
        self.carried = {key: frozenset(names) for key, names in carried.items()}
        self.seen = trace(book, got.known, self.carried)

    def names(self, *values: str) -> Names:
        """The inputs that those values rest on together."""
        return frozenset().union(*(names for value in values for names in self._all(value)))

    def of_text(self, text: str) -> Names:
        """What the values named in a text's braces rest on."""
        return self.names(*_IN_BRACES.findall(text)) if "{" in text else frozenset()

    def cells(self, name: str) -> list[dict[str, Names]]:
        """What the cells of a list rest on, row by row; a cell rests on what its list does."""
        whole = names_of(self.seen[name])
        rows = plain_of(self.seen[name])
        return [{field: whole | names_of(cell) for field, cell in fields(row).items()} for row in rows]

    def examples(self, names: Iterable[str]) -> list[str]:
        """The example's inputs among those, in the order in which the rules need them."""
        wanted = set(map(strongly, names))
        return [key for key, whose in self.whose.items() if whose == EXAMPLE and key in wanted and key != _BOOK]

    def owners(self, names: Iterable[str]) -> list[str]:
        """The owner's inputs among those."""
        wanted = set(names)
        return [key for key, whose in self.whose.items() if whose == YOURS and key in wanted and key != _BOOK]

    def of_result(self, name: str) -> dict[str, Any]:
        """The marks of a rule's value."""
        return self.marks(plain_of(self.seen[name]), self.names(name), name)

    def marks(self, value: Any, names: Names, name: str = "") -> dict[str, Any]:
        """``rests_on`` of a value; of one that is missing ``tell``, and why by that; nothing where there is nothing to say."""
        if not isinstance(value, Missing):
            word = self.word(names)
            return {"rests_on": word} if word else {}
        wanted = names.union(self._untold_needs(name), *(names_of(seen.get(name)) for seen in self._told_by_and_by))
        tell = sorted((key for key, whose in self.whose.items() if whose == _UNTOLD and key in wanted), key=_in_file_order)
        return ({"why": told_what(tell)} if tell and isinstance(value, Untold) else {}) | ({"tell": tell} if tell else {})

    def _untold_needs(self, name: str) -> set[str]:
        """What the rules that a value is missing for may look at, once they know more: how far ballast lies, if any is needed."""
        found: set[str] = set()
        waiting = [name]
        while waiting:
            rule = self.book.get(waiting.pop())
            for need in rule.needs if rule else ():
                if need in self.whose and isinstance(self.known.get(need), Missing):
                    found.add(need)
                elif need in self.book and isinstance(plain_of(self.seen.get(need)), Missing):
                    waiting.append(need)
        return found

    @cached_property
    def _told_by_and_by(self) -> list[dict[str, Any]]:
        """The trace again with what is missed told as the example does, then with what is missed then, until no more would do.

        Where the example carries nothing, a little stands for it, so that where it lies is asked too.
        """
        traced, known = [self.seen], dict(self.known)
        while missed := self._missed(traced[-1], known):
            known |= {key: FIGURES[key].read(FIGURES[key].value or _SOMETHING) for key in missed}
            traced.append(trace(self.book, known, self.carried))
        return traced[1:]

    def _missed(self, seen: Mapping[str, Any], known: Mapping[str, Any]) -> set[str]:
        """What rules would need of which the example tells something."""
        names = {key for rule in self.book if isinstance(plain_of(seen.get(rule)), Missing) for key in names_of(seen[rule])}
        return {key for key in names & self.whose.keys() if self.whose[key] == _UNTOLD and isinstance(known.get(key), Missing)
                and FIGURES[key].value is not None}

    def word(self, names: Names) -> str:
        """Whose inputs those are: the owner's, the example's, some of both; nothing where no such input took part."""
        found = {self.whose[name] for name in names & self.whose.keys()} - {_UNTOLD}
        return found.pop() if len(found) == 1 else PARTLY if found else ""

    def _all(self, name: str) -> Iterable[Names]:
        """What a value rests on; for a list, what its cells do."""
        seen = self.seen.get(name)
        rows = plain_of(seen)
        yield names_of(seen)
        if isinstance(rows, list):
            yield from (names for row in self.cells(name) for names in row.values())


def _in_file_order(key: str) -> int:
    """A job's record is told after all else."""
    return _ORDER.get(key, len(_ORDER))


def told_what(tell: Sequence[str]) -> str:
    """What would do, in words."""
    first = [FIGURES[key].tell for key in tell[:_NAMED] if key in FIGURES]
    more = [f"{len(tell) - len(first)} more"] if len(tell) > len(first) else []
    return f"tell {' and '.join(filter(None, (', '.join([*first, *more][:-1]), [*first, *more][-1])))}"


def fields(row: Any) -> dict[str, Any]:
    """The cells of a list's row by name."""
    return row if isinstance(row, dict) else row._asdict()


def _whose(need: str, got: Gathered) -> Iterable[tuple[str, str]]:
    """Whose input each of a need's is; a number of the trade, of a standard or of ours is nobody's."""
    if need == _BOOK and got.known[need]:
        yield need, YOURS if _BOOK in got.owners else EXAMPLE
    entry = figure(need)
    if entry is None or not entry.question:
        return
    value: Mapping[str, Any] | Any = got.known[need]
    for row, key in keys(need).items():
        if isinstance(value[row] if row else value, Missing):
            if entry.told_only or entry.record or key in got.untold:
                yield key, _UNTOLD
        elif got.origin[key] in got.owners:
            yield key, YOURS
        elif got.origin[key] not in (EXAMPLE, "derived") or (got.origin[key] == EXAMPLE and entry.invented):
            yield key, EXAMPLE
