"""A book's own page: what the book says in a few sentences, the rows its charts are drawn from, and what waits to be mended. Data alone."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from itertools import zip_longest
from statistics import median
from typing import Any, NamedTuple

from calculators.engine.book import Entry, done_by
from calculators.engine.figures import FIGURES, TABLES
from calculators.engine.show import label, words
from calculators.engine.view import sentence

type Row = Mapping[str, Any]
type Parts = list[str]  # text and values by turns: a page sets the values off

_MOST = 104  # of a channel in a picture, the last: two years of weekly tanks
_LANES = 6  # jobs under it, those done most often
_ROOM = 0.1  # up and down of the middle
_LEAST_DAYS = 28  # that a picture spans
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)  # between two names under it
_NAMES = 6  # of months under it, at most
_APART = 0.2  # of its width between two named alarms
_FAR = 0.4  # off the middle: what is left out farther off stands at the edge
_OIL = "Oil too high"
_HARD = "hard"  # what own_records remarks of a tank that is counted apart: nothing to mend


class Channel(NamedTuple):
    """A list of own_records that is drawn: its height, what of a row stands in the table below, and the alarms that are its."""

    listed: str
    height: str
    table: tuple[str, ...]
    alarms: tuple[str, ...]


CHANNELS = {
    "record_economy": Channel("tanks", "fuel_economy", ("date", "distance", "fuel", "fuel_economy", "expected_low", "expected_high",
                                                        "remark"), ("fuel_use_up",)),
    "record_def": Channel("def_fills", "def_share", ("date", "filled", "fuel", "def_share", "counted"), ("def_use_up", "def_use_down")),
    "record_burns": Channel("burns", "distance", ("date", "distance", "times", "counted"), ("burns_closer",)),
    "record_water": Channel("drains", "water_per_fuel", ("date", "water", "fuel", "water_per_fuel"), ("water_growing",)),
}
JOBS = "record_jobs"
HEADS = {kind: {field: label(field) for field in channel.table} for kind, channel in CHANNELS.items()} | {
    JOBS: {"job": "Job", "times": "Times", "last": "Last"}}


class Line(NamedTuple):
    """The days from which to which all pictures go."""

    start: int
    end: int

    def place(self, day: int) -> float:
        """Where a day stands, as a share of the width."""
        return round(min(max((day - self.start) / (self.end - self.start), 0.0), 1.0), 4)


def records_view(answered: Row, name: str, entries: Sequence[Entry], listed: Iterable[Row]) -> dict[str, Any]:
    """``answered`` are own_records' words, ``entries`` those that count, ``listed`` the same as their list tells them."""
    results = answered["results"]
    jobs = _jobs(entries)
    line = _line([*([_day(row["date"]["value"]) for row in results[channel.listed]] for channel in CHANNELS.values()),
                  sorted(day for days in jobs.values() for day in days), [_day(row["since"]["value"]) for row in _oil(results)]])
    drawn = {kind: _chart(kind, channel, results, line) for kind, channel in CHANNELS.items()
             if line and any(_day(row["date"]["value"]) >= line.start for row in results[channel.listed])}
    lanes = _lanes(jobs, results, line) if line else []
    if lanes and line:
        drawn[JOBS] = _job_chart(lanes, line)
    return {"lede": _lede(name, entries), "says": _says(results) if drawn else _empty(results), "charts": drawn,
            "mend": _mend(results, listed)}


def refused(name: str) -> dict[str, Any]:
    """The same where what is told of the truck is refused, so that nothing can be said."""
    return {"lede": f"What {name}’s book says can’t be worked out yet: mend what My truck asks for.", "says": [], "charts": {}, "mend": []}


# Words ---------------------------------------------------------------------------------------------------------------------------


def said(text: str, *values: str) -> Parts:
    """A text whose holes hold values."""
    return [part for pair in zip_longest(text.split("{}"), values, fillvalue="") for part in pair][: 2 * len(values) + 1]


def _lede(name: str, entries: Sequence[Entry]) -> str:
    since = min((entry.date for entry in entries if entry.date), default=None)
    if not entries:
        return f"Nothing is in {name}’s book yet."
    return f"What {name}’s own book says. {_many(len(entries), 'entry', 'entries')}{f' since {words(since).phrase}' if since else ''}."


def _many(count: int, one: str, more: str) -> str:
    return f"{count:,} {one if count == 1 else more}"


def _line_of(look: str, parts: Parts) -> dict[str, Any]:
    return {"look": look, "parts": parts}


def _empty(results: Row) -> list[dict[str, Any]]:
    """What the page will say, and after how much."""
    return [_wanted("After {} this page says what it burns.", results["fuel_economy_measured"]["phrase"]),
            _wanted("After {} it notices when that goes up by a tenth.", _until_watched(results)),
            _wanted("After {} it compares the jars.", results["water_per_fuel"]["phrase"].partition(" with ")[0]),
            _line_of("", ["A shoebox of receipts works too: write the old fills with their dates."])]


def _wanted(text: str, value: str) -> dict[str, Any]:
    return _line_of("lacks", said(text, value))


def _until_watched(results: Row) -> str:
    more = _many(max(int(results["tanks_until_watched"]["value"]), 1), "more full tank", "more full tanks")
    return f"{more} with engine or idle hours"


def _says(results: Row) -> list[dict[str, Any]]:
    """Each alarm that stands, the gravest first; without one, that nothing drifts or what it takes to notice it."""
    standing = {row["what"]["value"]: row for row in results["alarms"] if row["stands"]["value"]}
    alarms = [_line_of("alarm", _alarm(standing[what])) for what in TABLES["alarm_words"] if what in standing]
    return [*alarms, _fuel(results), *([] if alarms else [_calm(results)]), _week(results), _burns(results)]


def _calm(results: Row) -> dict[str, Any]:
    if results["verdict"]["value"] == "fits" and not results["tanks_until_watched"]["value"]:
        return _line_of("", said("{}: the truck uses what it used before.", "Nothing drifts"))
    return _wanted("After {} it notices when it burns a tenth more.", _until_watched(results))


def _alarm(row: Row) -> Parts:
    told = TABLES["alarm_words"][row["what"]["value"]]
    before, hole, after = told["says"].partition("{first_alarm_change}")
    values = (row["since"]["shown"], f"{abs(row['change']['value']):.0f}%") if hole else (row["since"]["shown"],)
    return said(f"Since {{}} {before}{hole and '{}'}{after}. {told['look_at']}", *values)


def _fuel(results: Row) -> dict[str, Any]:
    economy, idle = results["fuel_economy_measured"], results["idle_rate_measured"]
    if economy["value"] is None:
        return _wanted("After {} this page says what it burns.", economy["phrase"])
    reach = [f"{results['fuel_economy_low']['number']} to {results['fuel_economy_high']['number']}"]
    if results["fuel_economy_low"]["value"] is None or results["fuel_economy_high"]["value"] is None:
        reach = []
    likely = ", likely {}" if reach else ""
    miles = f"{economy['number']} miles"
    if idle["value"] is None:
        return _line_of("", said(f"It goes {{}} on a gallon{likely}, by {{}}.", miles, *reach, _tanks(results)))
    return _line_of("", said(f"Driving, it goes {{}} on a gallon{likely}, by {{}}. An hour of idling burns {{}}.", miles, *reach,
                             _tanks(results), idle["phrase"].removesuffix(" an hour")))


def _tanks(results: Row) -> str:
    return _many(int(results["tanks_counted"]["value"]), "tank", "tanks")


def _week(results: Row) -> dict[str, Any]:
    miles, idle = results["distance_per_week_measured"], results["idle_hours_per_week_measured"]
    if miles["value"] is None:
        return _wanted("For its usual week it takes {}.", miles["phrase"].replace("of it", "of the odometer"))
    if idle["value"] is None:
        return _line_of("", said("It drives {} in a usual week.", miles["phrase"]))
    return _line_of("", said("It drives {} and idles {} in a usual week.", miles["phrase"], idle["phrase"]))


def _burns(results: Row) -> dict[str, Any]:
    seen, broken, apart = (results[name] for name in ("burns_seen", "burns_not_finished", "distance_between_burns"))
    if not seen["value"]:
        return _wanted("After {} it says how often its filter cleans itself.", apart["phrase"])
    every = "" if apart["value"] is None else "; one comes about every {}"
    count = broken["number"] if broken["value"] else "none"
    values = [_many(int(seen["value"]), "burn", "burns"), count, *([apart["phrase"]] if every else [])]
    were = "were" if broken["value"] > 1 else "was"
    return _line_of("", said(f"Of {{}} you saw, {{}} {were} broken off{every}.", *values))


# Pictures ------------------------------------------------------------------------------------------------------------------------


def _day(told: str) -> int:
    return date.fromisoformat(told).toordinal()


def _line(channels: Sequence[Sequence[int]]) -> Line | None:
    """All pictures begin where the fullest channel still shows its last points; those of one day get some room."""
    begun = max((days[-_MOST] for days in channels if len(days) > _MOST), default=0)
    days = [day for own in channels for day in own if day >= begun]
    return Line(min(min(days), max(days) - _LEAST_DAYS), max(days)) if days else None


def _chart(kind: str, channel: Channel, results: Row, line: Line) -> dict[str, Any]:
    listed = results[channel.listed]
    rows = [row for row in listed if _day(row["date"]["value"]) >= line.start]
    alarms = [row for row in results["alarms"] if row["what"]["value"] in channel.alarms]
    told = [{field: row[field]["shown"] for field in channel.table} for row in reversed(rows)]
    middle = median(row[channel.height]["value"] for row in rows)
    points = [_point(row, channel.height, line, middle) | _expected(row, is_known=place >= FIGURES["tanks_to_watch"].value)
              for place, row in enumerate(rows, len(listed) - len(rows))]
    return {"says": [*_TEXTS[kind](results, rows), *_not_shown(listed, rows)], "table": told,
            "rows": [*points, *_room(middle), *_usual(kind, results), *_alarms(alarms, line), *_months(line)]}


def _room(middle: float) -> Iterator[dict[str, Any]]:
    """What keeps a small scatter small: the picture goes at least so far up and down."""
    for share in (1 - _ROOM, 1 + _ROOM):
        yield {"part": "room", "y": middle * share}


def _point(row: Row, height: str, line: Line, middle: float) -> dict[str, Any]:
    """One that is left out may lie far off, and would press all the others together."""
    is_counted, y = row["counted"]["value"], row[height]["value"]
    shown = y if is_counted else min(max(y, middle * (1 - _FAR)), middle * (1 + _FAR))
    return {"part": "point", "x": line.place(_day(row["date"]["value"])), "y": shown, "counted": is_counted}


def _expected(row: Row, *, is_known: bool) -> dict[str, float]:
    """Between which ends 9 of 10 were expected, and in their middle what was; the first tanks are only learned from."""
    low, high = (row.get(f"expected_{end}", {}).get("value") for end in ("low", "high"))
    if low is None or high is None or not is_known:
        return {}
    return {"low": low, "high": high, "expected": 2 / (1 / low + 1 / high)}  # the middle of gallons, not of miles


def _usual(kind: str, results: Row) -> Iterator[dict[str, Any]]:
    """What it is on average, where that is one number."""
    usual = {"record_def": "def_share_measured", "record_burns": "distance_between_burns", "record_water": "water_per_fuel"}.get(kind)
    if usual and results[usual]["value"] is not None:
        yield {"part": "usual", "y": results[usual]["value"], "words": f"usual: {results[usual]['shown']}"}


def _alarms(alarms: Sequence[Row], line: Line) -> Iterator[dict[str, Any]]:
    """Each where it began; those close together bear one date."""
    last = -1.0
    for row in sorted(alarms, key=lambda row: str(row["since"]["value"])):
        since = date.fromisoformat(row["since"]["value"])
        x = line.place(since.toordinal())
        apart = x - last >= _APART
        last = x if apart else last
        if row["stands"]["value"] or since.toordinal() >= line.start:
            yield {"part": "alarm", "x": x, "stands": row["stands"]["value"], "words": f"{since:%b} {since.day}" if apart else ""}


def _months(line: Line) -> Iterator[dict[str, Any]]:
    """The days under a picture: months, a year's first by its year; two days where it spans hardly more than one."""
    first, last = date.fromordinal(line.start), date.fromordinal(line.end)
    months = range(first.year * 12 + first.month, last.year * 12 + last.month)
    if len(months) < 2:
        for day in (first, last):
            yield {"part": "month", "x": line.place(day.toordinal()), "words": f"{day:%b} {day.day}"}
        return
    step = next((step for step in _MONTHS if len(months) / step <= _NAMES), _MONTHS[-1])
    for month in months:
        begins = date(month // 12, month % 12 + 1, 1)
        if month % step == 0:
            yield {"part": "month", "x": line.place(begins.toordinal()), "words": f"{begins:%b}" if begins.month > 1 else str(begins.year)}


def _not_shown(listed: Sequence[Row], rows: Sequence[Row]) -> Parts:
    """Parts go on in turns: a value would come next."""
    older = len(listed) - len(rows)
    return ["", f" {older:,} older than the picture stand in the file."] if older else []


def _economy_text(results: Row, rows: Sequence[Row]) -> Parts:
    last, hollow = rows[-1], any(not row["counted"]["value"] for row in rows)
    ends = last["expected_low"], last["expected_high"]
    out = " Hollow ones are left out; those far off stand at the edge." if hollow else ""
    if results["fuel_economy_measured"]["value"] is None or any(end["value"] is None for end in ends):
        return said(f"The last tank went {{}} on a gallon.{out}", f"{last['fuel_economy']['number']} miles")
    by = "miles and idle hours" if results["tanks_with_idle_hours"]["value"] else "miles"
    return said(f"The last tank went {{}} on a gallon; {{}} was due, by its {by}. 9 of 10 lie in the band.{out}",
                f"{last['fuel_economy']['number']} miles", f"{ends[0]['number']} to {ends[1]['number']}")


def _def_text(results: Row, rows: Sequence[Row]) -> Parts:
    last, usual = "The last fill was {} of the fuel burned since the one before.", results["def_share_measured"]
    if usual["value"] is None:
        return said(f"{last} After {{}} it says what is usual.", rows[-1]["def_share"]["shown"], usual["phrase"])
    return said(f"{last} {{}} is usual, by {{}}.", rows[-1]["def_share"]["shown"], usual["shown"],
                _many(int(results["def_fills_counted"]["value"]), "fill", "fills"))


def _burns_text(results: Row, rows: Sequence[Row]) -> Parts:
    last, usual = "The last came {} after the one before.", results["distance_between_burns"]
    if usual["value"] is None:
        return said(f"{last} After {{}} it says what is usual.", rows[-1]["distance"]["phrase"], usual["phrase"])
    judged = " They come too irregularly to notice a change." if results["burns_too_irregular"]["value"] else ""
    return said(f"{last} {{}} is usual, by {{}}.{judged}", rows[-1]["distance"]["phrase"], usual["phrase"],
                _many(int(results["burns_counted"]["value"]), "burn", "burns"))


def _water_text(results: Row, rows: Sequence[Row]) -> Parts:
    volume = words(FIGURES["water_fuel_volume"].value, FIGURES["water_fuel_volume"].unit, exact=True).phrase
    last, usual = f"Of {volume} burned the last drain brought {{}}; the standard allows {{}}.", results["water_per_fuel"]
    told = (rows[-1]["water_per_fuel"]["phrase"], results["water_limit"]["phrase"])
    return said(f"{last} {{}} is usual.", *told, usual["phrase"]) if usual["value"] is not None else said(last, *told)


_TEXTS = {"record_economy": _economy_text, "record_def": _def_text, "record_burns": _burns_text, "record_water": _water_text}


# Jobs ----------------------------------------------------------------------------------------------------------------------------


class Lane(NamedTuple):
    """A job and the days on which it was done; or alarms of what has no picture of its own."""

    name: str
    days: list[int]
    rows: list[dict[str, Any]]


def _jobs(entries: Iterable[Entry]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for entry in sorted((one for one in entries if one.date), key=lambda one: (one.date, one.id)):
        if (job := done_by(entry)) and entry.date:
            found.setdefault(job, []).append(entry.date.toordinal())
    return found


def _oil(results: Row) -> list[Row]:
    return [row for row in results["alarms"] if row["what"]["value"] == "oil_rising"]


def _lanes(jobs: Mapping[str, list[int]], results: Row, line: Line) -> list[Lane]:
    """Those done most often, in the order of their table; last the oil's alarms."""
    shown = {job: [day for day in days if day >= line.start] for job, days in jobs.items()}
    often = sorted((job for job in shown if shown[job]), key=lambda job: -len(shown[job]))[:_LANES]
    lanes = [Lane(words(job).phrase, shown[job], [{"part": "tick", "x": line.place(day)} for day in shown[job]])
             for job in TABLES["job"] if job in often]
    oil = _oil(results)
    return lanes + ([Lane(_OIL, [_day(row["since"]["value"]) for row in oil], list(_alarms(oil, line)))] if oil else [])


def _job_chart(lanes: Sequence[Lane], line: Line) -> dict[str, Any]:
    rows = [{**row, "lane": place} for place, lane in enumerate(lanes) for row in ({"part": "lane", "words": lane.name}, *lane.rows)]
    told = [{"job": lane.name, "times": str(len(lane.days)), "last": words(date.fromordinal(max(lane.days))).phrase} for lane in lanes]
    done = [row for row, lane in zip(told, lanes, strict=True) if lane.name != _OIL]
    last = max(done, key=lambda row: max(lanes[told.index(row)].days), default=None)
    text = said("A tick is a day on which it was done; the last was {}, {}.", last["job"].lower(), last["last"]) if last else [""]
    return {"says": text, "table": told, "lanes": len(lanes), "rows": [*rows, *_months(line)]}


# What waits ----------------------------------------------------------------------------------------------------------------------


def _mend(results: Row, listed: Iterable[Row]) -> list[dict[str, str]]:
    """Entries that are left out, but for hard work, or asked about: what each is and why, the newest first."""
    hard = {row["entry"]["value"] for row in results["tanks"] if row["remark"]["value"] == _HARD}
    why: dict[str, list[str]] = {}
    for row in results["left_out"]:
        if row["entry"]["value"] not in hard:
            told = row["why"]["phrase"]
            why.setdefault(row["entry"]["value"], []).append(told if told.endswith("?") else sentence(told))
    found = ((one, [*why.get(one["id"], []), *one["asked"]]) for one in listed)
    return [{"id": one["id"], "when": one["when"], "what": one["what"], "why": " ".join(reasons)} for one, reasons in found if reasons]
