"""What an out folder remembers from one run to the next: which truck is which, what its packs were made from, when a reading came.

Lines of JSON, added while a run works and cleaned up at its end: a run that is killed loses at most the pack in hand.
"""

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import count as count_from
from pathlib import Path
from typing import Any, NamedTuple, TextIO

from print.files import unwritten, write
from print.roster import Who, made_id, same

FILE = ".packs.jsonl"
FLEET = "fleet"  # stands for a truck's id where a file is of all trucks


class Pack(NamedTuple):
    """What was made: its file's name, from what, what it showed of the day, and what was written."""

    file: str
    made_from: str
    shown: str
    sha256: str


class Memory:
    """Trucks by id, packs by truck and what they hold, first sights of readings."""

    def __init__(self, folder: Path) -> None:
        self._file = Path(folder) / FILE
        self._open: TextIO | None = None
        self.trucks: dict[str, Who] = {}
        self.files: dict[str, str] = {}
        self.labels: dict[str, str] = {}
        self.packs: dict[tuple[str, str], Pack] = {}
        self.seen: dict[str, dict[str, list[str]]] = {}
        for line in self._lines():
            self._take(line)

    def ids(self, all_of_them: Sequence[Who]) -> list[str]:
        """Each truck's id: the one it had, found by VIN, else by unit, else by name; else a new one that no other truck has."""
        by_key: dict[str, list[str]] = defaultdict(list)
        for known, who in self.trucks.items():
            for key in who.keys():
                by_key[key].append(known)
        found: dict[int, str] = {}
        taken: set[str] = set()
        for kind in ("vin", "unit", "name"):
            for at, who in enumerate(all_of_them):
                key = next((key for key in who.keys() if key.startswith(kind)), "")
                fits = (each for each in by_key.get(key, ()) if same(self.trucks[each], who) and each not in taken)
                if at not in found and (known := next(fits, "")):
                    found[at] = known
                    taken.add(known)
        return [found.get(at) or self._new(who) for at, who in enumerate(all_of_them)]

    def _new(self, who: Who) -> str:
        key = next(who.keys())
        return next(made for count in count_from(1) if (made := made_id(f"{key}#{count}" if count > 1 else key)) not in self.trucks)

    def tell(self, **line: Any) -> None:
        """Remember one thing, at once on disk."""
        try:
            if self._open is None:
                self._open = self._file.open("a", encoding="utf-8")
            self._open.write(json.dumps(line, ensure_ascii=False) + "\n")
            self._open.flush()
        except OSError as wrong:
            raise unwritten(self._file, wrong) from None
        self._take(line)

    def truck(self, truck: str, who: Who, files: str, label: str) -> None:
        """Remember by what a truck is known, and what its files and the truck are called."""
        if (self.trucks.get(truck), self.files.get(truck), self.labels.get(truck)) != (who, files, label):
            self.tell(truck=truck, **who._asdict(), files=files, label=label)

    def forget(self, truck: str) -> None:
        """A truck that is gone, and all that was known of it."""
        self.tell(gone=truck)

    def close(self) -> None:
        """Leave the list without what was overwritten since."""
        if self._open is None:
            return
        self._open.close()
        self._open = None
        write(self._file, "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in self._all()))

    def _lines(self) -> Iterator[Mapping[str, Any]]:
        try:
            text = self._file.read_text("utf-8", errors="replace")
        except OSError:
            return
        for line in text.splitlines():
            try:
                told = json.loads(line)
            except ValueError:  # a killed run's last line
                continue
            if isinstance(told, dict):
                yield told

    def _take(self, line: Mapping[str, Any]) -> None:
        match line:
            case {"truck": str(truck), "vin": str(vin), "unit": str(unit), "name": str(name), "files": str(files), "label": str(label)}:
                self.trucks[truck], self.files[truck], self.labels[truck] = Who(vin, unit, name), files, label
            case {"pack": str(file), "truck": str(truck), "holds": str(holds), **told}:
                self.packs[truck, holds] = Pack(file, *(str(told.get(part, "")) for part in Pack._fields[1:]))
            case {"seen": str(truck), "readings": dict(readings)}:
                self.seen[truck] = readings
            case {"gone": str(truck)}:
                for known in (self.trucks, self.files, self.labels, self.seen):
                    known.pop(truck, None)
                self.packs = {key: pack for key, pack in self.packs.items() if key[0] != truck}

    def _all(self) -> Iterator[dict[str, Any]]:
        for truck, who in self.trucks.items():
            yield {"truck": truck, **who._asdict(), "files": self.files[truck], "label": self.labels[truck]}
        for truck, readings in sorted(self.seen.items()):  # whoever was ready first
            yield {"seen": truck, "readings": readings}
        for (truck, holds), pack in sorted(self.packs.items()):
            yield {"pack": pack.file, "truck": truck, "holds": holds, **{part: getattr(pack, part) for part in Pack._fields[1:]}}
