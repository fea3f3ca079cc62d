"""What an answer's values rest on: what its owner told, what is the example's, and what only the owner can tell."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from calculators.engine.facts import Gathered
from calculators.engine.figures import Missing, figure, keys
from calculators.engine.rules import Book
from calculators.engine.trace import Names, names_of, plain_of, trace

YOURS, PARTLY, EXAMPLE = "yours", "partly", "example"
_UNTOLD = "untold"
_IN_BRACES = re.compile(r"\{(\w+)\}")


class Rests:
    """What each value of one answer rests on; its ``seen`` are the values of a trace."""

    def __init__(self, book: Book, got: Gathered) -> None:
        self.made = book.keys()
        self.whose = {key: found for need in got.known for key, found in _whose(need, got)}
        carried = {key: {key, *by} & self.whose.keys() for key, by in ({key: () for key in self.whose} | got.settled).items()}
        self.seen = trace(book, got.known, {key: frozenset(names) for key, names in carried.items()})

    def names(self, *values: str) -> Names:
        """The inputs that those values rest on together."""
        return frozenset().union(*(names for value in values for names in self._all(value)))

    def of_text(self, text: str) -> Names:
        """What the values named in a text's braces rest on."""
        return self.names(*_IN_BRACES.findall(text))

    def cells(self, name: str) -> list[dict[str, Names]]:
        """What the cells of a list rest on, row by row; a cell rests on what its list does."""
        whole = names_of(self.seen[name])
        rows = plain_of(self.seen[name])
        return [{field: whole | names_of(cell) for field, cell in fields(row).items()} for row in rows]

    def examples(self, names: Iterable[str]) -> list[str]:
        """The example's inputs among those, in the order in which the rules need them."""
        wanted = set(names)
        return [key for key, whose in self.whose.items() if whose == EXAMPLE and key in wanted]

    def owners(self, names: Iterable[str]) -> list[str]:
        """The owner's inputs among those."""
        wanted = set(names)
        return [key for key, whose in self.whose.items() if whose == YOURS and key in wanted]

    def marks(self, names: Names, missing: bool = False) -> dict[str, Any]:
        """``rests_on`` of a value, or ``tell`` of one that is missing; nothing where there is nothing to say."""
        if missing:
            tell = [key for key, whose in self.whose.items() if whose == _UNTOLD and key in names]
            return {"tell": tell} if tell else {}
        word = self.word(names)
        return {"rests_on": word} if word else {}

    def word(self, names: Names) -> str:
        """Whose inputs those are: the owner's, the example's, some of both; nothing where no such input took part."""
        found = {self.whose[name] for name in names} - {_UNTOLD}
        return found.pop() if len(found) == 1 else PARTLY if found else ""

    def _all(self, name: str) -> Iterable[Names]:
        """What a value rests on; for a list, what its cells do."""
        seen = self.seen.get(name)
        rows = plain_of(seen)
        yield names_of(seen)
        if isinstance(rows, list):
            yield from (names for row in self.cells(name) for names in row.values())


def fields(row: Any) -> dict[str, Any]:
    """The cells of a list's row by name."""
    return row if isinstance(row, dict) else row._asdict()


def _whose(need: str, got: Gathered) -> Iterable[tuple[str, str]]:
    """Whose input each of a need's is; a number of the trade, of a standard or of ours is nobody's."""
    entry = figure(need)
    if entry is None or not entry.question:
        return
    value: Mapping[str, Any] | Any = got.known[need]
    for row, key in keys(need).items():
        if isinstance(value[row] if row else value, Missing):
            if entry.told_only or entry.record:
                yield key, _UNTOLD
        elif got.origin[key] in got.owners:
            yield key, YOURS
        elif got.origin[key] not in (EXAMPLE, "derived") or (got.origin[key] == EXAMPLE and entry.invented):
            yield key, EXAMPLE
