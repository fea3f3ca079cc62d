"""A book's channels, each learned and watched: fuel, DEF, burns, water, oil. Settings and guesses come from whoever asks."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, log, sqrt
from typing import NamedTuple

from calculators.engine.chance import student_t
from calculators.engine.channels import Burned, FullTanks, LeftOut, Meters, Span, Tank, burn_spans, def_spans, water_spans
from calculators.engine.entries import Entry
from calculators.engine.learner import DOWN, UP, Fit, Followed, Point, Seen, Watch, follow, guess, rate_interval
from calculators.engine.meters import Dated, Pace, pace
from calculators.engine.rules import Guess, Inner

Settings = Mapping[str, float]


class Raised(NamedTuple):
    """An alarm: what drifts, since and when it was noticed, how far in percent, at which entry, and whether it lasts."""

    what: str
    since: date
    noticed: date
    change: float
    entry: str
    stands: bool


@dataclass(frozen=True)
class FuelRecord(Inner):
    """Every tank, the fit of miles and idle hours, and what they tell."""

    tanks: tuple[Tank, ...]
    burned: tuple[Tank, ...]  # the same; where fuel was not written down, with what was due
    counted: tuple[Tank, ...]  # towards the average
    points: Mapping[str, Point]  # by the entry at its end: what was expected; none of hard work
    rates: Fit
    alarms: tuple[Raised, ...]
    left_out: tuple[LeftOut, ...]
    started: bool  # whether the next full tank ends one

    @property
    def priced(self) -> list[Tank]:
        """Tanks whose every fill has a price, hard work too; those where fuel was left out would make miles too cheap."""
        counted = {tank.entry for tank in self.counted}
        return [tank for tank in self.tanks if tank.is_priced and (tank.hard or tank.entry in counted)]

    def reach(self, share: float) -> float:
        """So many times the spread lies such a share of the tanks off at most."""
        return student_t((1 + share) / 2, self.rates.degrees)


@dataclass(frozen=True)
class SpanRecord(Inner):
    """Every span of a channel, its fit and what it tells."""

    spans: tuple[Span, ...]
    counted: tuple[Span, ...]
    points: Mapping[str, Point]  # by the entry at its end
    alarms: tuple[Raised, ...]
    left_out: tuple[LeftOut, ...]
    started: bool  # whether the next one ends a span


def watch_of(settings: Settings) -> Watch:
    """A channel's settings as shares: the data file holds percent."""
    return Watch(settings["band"] / 100, settings["limit"], settings["clip"], int(settings["late"]), int(settings["silent"]),
                 settings["least_noise"] / 100, settings["most_noise"] / 100, settings["gate"] / 100, settings["gate_noises"],
                 int(settings["run"]))


@dataclass(frozen=True)
class FuelGuess(Guess):
    """What fuel is learned from before a tank is full: mi/gal and gal/h."""

    economy: float
    idle_rate: float


@dataclass(frozen=True)
class DefGuess(Guess):
    """The same for DEF, % of the fuel."""

    share: float


def fuel_record(full: FullTanks, start: FuelGuess, settings: Settings, without_hours: Settings) -> FuelRecord:
    """Tanks from full to full: with idle hours they are learned by both rates and watched; without, they count to the average."""
    found = full.tanks
    soft = [tank for tank in found if not tank.hard]
    clocked = [tank for tank in soft if tank.is_clocked]
    both = follow([Seen(tank.causes, tank.fuel) for tank in clocked],
                  _guess((1 / start.economy, start.idle_rate), (settings["guess_spread"], settings["idle_guess_spread"]), settings),
                  watch_of(settings), (UP,))
    seen = dict(zip((tank.entry for tank in clocked), both.points, strict=True))
    plain = [tank for tank in soft if tank.entry not in seen or seen[tank.entry].counted]
    alone = follow([Seen((tank.distance,), tank.fuel) for tank in plain],
                   _guess((1 / start.economy,), (without_hours["guess_spread"],), without_hours), watch_of(without_hours), ())
    seen = dict(zip((tank.entry for tank in plain), alone.points, strict=True)) | seen
    return FuelRecord(
        found, tuple(tank._replace(fuel=seen[tank.entry].expected) if _is_lost(seen.get(tank.entry)) else tank for tank in found),
        tuple(tank for tank in soft if seen[tank.entry].counted or seen[tank.entry].joined), seen, both.fit,
        _raised({UP: "fuel_use_up"}, both, [(tank.date, tank.entry) for tank in clocked]),
        tuple([*full.left_out, *(LeftOut(tank.date, _why(tank, seen.get(tank.entry)), tank.entry) for tank in found
                                 if tank.hard or not seen[tank.entry].counted)]),
        full.started,
    )  # fmt: skip


def _is_lost(point: Point | None) -> bool:
    """Whether a tank’s fuel is likely not all there."""
    return point is not None and not (point.counted or point.joined)


def _why(tank: Tank, point: Point | None) -> str:
    if point is None:
        return "mostly towing, plowing or power take-off: counted apart"
    said = f"{tank.fuel:.1f} gal where about {point.expected:.0f} were due"
    if tank.fuel < point.expected:
        asked = "was it not full? It counts as one with the next" if point.joined else "was a fill left out, or was it not full?"
    else:
        asked = "it made up for the one before, and counts as one with it" if point.joined else "towing, or a typing error?"
    return f"{said}: {asked}"


def def_record(entries: Sequence[Entry], burned: Burned, start: DefGuess, settings: Settings) -> SpanRecord:
    """DEF by the fuel burned since the fill before."""
    spans, started = def_spans(entries, burned)
    share = max(start.share, settings["least_guess"]) / 100
    followed = follow([Seen((span.base,), span.amount) for span in spans], _guess((share,), (settings["guess_spread"],), settings),
                      watch_of(settings), (UP, DOWN))
    why = "{0:.1f} gal of DEF where about {1:.1f} were due: was a fill left out?"
    return _record({UP: "def_use_up", DOWN: "def_use_down"}, spans, started, followed, why)


def burn_record(entries: Sequence[Entry], read: Meters, distance: float, settings: Settings) -> SpanRecord:
    """Miles from one burn to the next; ``distance`` is no more than a place to begin."""
    spans, started = burn_spans(entries, read.odometer, settings["second_try"] / 100)
    followed = follow([Seen((1.0,), span.base, 1 / sqrt(span.times)) for span in spans],
                      _guess((float(distance),), (settings["guess_spread"],), settings), watch_of(settings), (DOWN,))
    why = "{0:.0f} mi between burns where about {1:.0f} are usual: was a burn left out?"
    return _record({DOWN: "burns_closer"}, spans, started, followed, why)


def _guess(rates: tuple[float, ...], spreads: tuple[float, ...], settings: Settings) -> Fit:
    return guess(rates, tuple(rate * spread / 100 for rate, spread in zip(rates, spreads, strict=True)), settings["noise"] / 100,
                 settings["noise_seen"])


def _record(names: Mapping[int, str], spans: Sequence[Span], started: bool, followed: Followed, why: str) -> SpanRecord:
    pairs = list(zip(spans, followed.points, strict=True))
    return SpanRecord(
        tuple(spans), tuple(span for span, point in pairs if point.counted or point.joined),
        {span.entry: point for span, point in pairs},
        _raised(names, followed, [(span.date, span.entry) for span in spans]),
        tuple(LeftOut(span.date, why.format(span.base if "between" in why else span.amount, point.expected), span.entry)
              for span, point in pairs if not (point.counted or point.joined)),
        started,
    )  # fmt: skip


def _raised(names: Mapping[int, str], followed: Followed, places: Sequence[tuple[date, str]]) -> tuple[Raised, ...]:
    return tuple(Raised(names[alarm.side], places[alarm.since][0], places[alarm.noticed][0], alarm.change * 100, places[alarm.noticed][1],
                        alarm.stands) for alarm in followed.alarms)


@dataclass(frozen=True)
class Drained(Inner):
    """Water by the fuel burned between drains, and what it tells."""

    spans: tuple[Span, ...]
    alarms: tuple[Raised, ...]
    left_out: tuple[LeftOut, ...]
    started: bool


def water_record(entries: Sequence[Entry], burned: Burned, limit: float, settings: Settings) -> Drained:
    """Water drained by the gallon burned: an alarm over the standard’s ``limit``, or twice in a row far over what was usual before."""
    spans, left_out, started = water_spans(entries, burned, settings["least_fuel"])
    alarms = list[Raised]()
    for place, span in enumerate(spans):
        usual = _usual(spans[: max(place - 1, 0)], settings["usual_from"], limit)
        high = [one.amount > settings["times_usual"] * usual * one.base and one.amount >= settings["least_water"]
                for one in spans[max(place - 1, 0) : place + 1]]
        twice, over = all(high) and place > 0, span.amount > limit * span.base
        lasting = bool(alarms) and alarms[-1].stands
        if (twice or over) and not lasting:
            since = spans[place - 1].date if twice else span.date
            alarms.append(Raised("water_growing", since, span.date, (span.amount / span.base / usual - 1) * 100, span.entry, True))
        elif lasting and not (high[-1] or over):
            alarms[-1] = alarms[-1]._replace(stands=False)
    return Drained(tuple(spans), tuple(alarms), tuple(left_out), started)


def _usual(spans: Sequence[Span], enough: float, otherwise: float) -> float:
    """What was drained of each gallon burned, by all drains so far; too few tell nothing, so the limit stands for it."""
    water = sum(span.amount for span in spans)
    return water / sum(span.base for span in spans) if len(spans) >= enough and water else otherwise


class Dip(NamedTuple):
    """One look at the dipstick: quarts above FULL, and what was added since the oil change before it."""

    date: date
    level: float
    unsure: float  # how much lower it may have stood
    added: float
    change: int  # how many oil changes came before
    entry: str


def dips(entries: Iterable[Entry], marks: Mapping[str, float], reading_error: float) -> list[Dip]:
    """Every level read, in order; on the day of a change after it. Between two marks the nearer one was told."""
    found, changes, added = list[Dip](), 0, 0.0
    for entry in sorted((e for e in entries if e.date), key=lambda e: (e.date, not _is_oil_change(e))):
        assert entry.date
        if _is_oil_change(entry):
            changes, added = changes + 1, 0.0
        elif (level := entry.get("oil_level")) is not None:
            found.append(Dip(entry.date, level, 0.0, added, changes, entry.id))
        elif (mark := entry.get("oil_mark")) in marks:
            found.append(Dip(entry.date, marks[mark], reading_error, added, changes, entry.id))
        added += 0.0 if _is_oil_change(entry) else entry.get("oil_added", 0.0)
    return found


def _is_oil_change(entry: Entry) -> bool:
    return entry.kind == "job" and entry.get("job") == "engine_oil"


def oil_alarms(entries: Sequence[Entry], marks: Mapping[str, float], settings: Settings, capacity: float,
               fuel_limit: float) -> tuple[Raised, ...]:
    """Above FULL twice in a row or by half a quart, a rise of half a quart since the change with nothing added, or a laboratory’s word."""
    found, own = list[Raised](), list[Dip]()
    for dip in dips(entries, marks, settings["reading_error"]):
        if own and own[-1].change != dip.change:
            own = []
            _calm(found)
        twice = bool(own) and min(dip.level, own[-1].level) >= settings["reading_error"]
        rise = dip.level - dip.added - sum(other.level - other.added for other in own) / len(own) if own else 0.0
        if not (twice or max(dip.level - dip.unsure - settings["above"], rise - dip.unsure - settings["rise"]) >= 0):
            _calm(found)
        elif not (found and found[-1].stands):
            since = own[-1].date if twice else dip.date
            found.append(Raised("oil_rising", since, dip.date, max(dip.level, rise) / capacity * 100, dip.entry, True))
        own.append(dip)
    last = max((entry.date for entry in entries if entry.date and _is_oil_change(entry)), default=date.min)
    found = [alarm._replace(stands=alarm.stands and alarm.noticed >= last) for alarm in found]
    found += [Raised("oil_rising", entry.date, entry.date, entry.get("fuel_in_oil"), entry.id, entry.date >= last)
              for entry in entries if entry.date and entry.get("fuel_in_oil", 0.0) >= fuel_limit]
    return tuple(sorted(found, key=lambda alarm: alarm.noticed))


def _calm(found: list[Raised]) -> None:
    if found:
        found[-1] = found[-1]._replace(stands=False)


def slower_than_a_year_ago(record: FuelRecord, settings: Settings) -> tuple[Raised, ...]:
    """Each quarter against the same months a year before: what drifts too slowly for the sum of deviations to notice."""
    quarters: dict[int, list[Tank]] = {}
    for tank in record.counted:
        if tank.is_clocked:
            quarters.setdefault(tank.date.year * 4 + (tank.date.month - 1) // 3, []).append(tank)
    found = list[Raised]()
    for quarter in sorted(quarters)[:-1]:  # the last is not over
        now, then = quarters[quarter], quarters.get(quarter - 4, [])
        if any(then and then[0].date < alarm.noticed <= now[-1].date for alarm in record.alarms):
            continue  # said already
        if min(len(now), len(then)) < settings["tanks"]:
            continue
        grown = log(_against(now, record.rates) / _against(then, record.rates))
        unsure = record.rates.open_noise * sqrt(1 / len(now) + 1 / len(then))
        if grown > max(log(1 + settings["more"] / 100), settings["noises"] * unsure):
            last = quarter == sorted(quarters)[-2]
            found.append(Raised("fuel_use_up", now[0].date, now[-1].date, (exp(grown) - 1) * 100, now[-1].entry, last))
    return tuple(found)


def _against(found: Sequence[Tank], rates: Fit) -> float:
    return sum(tank.fuel for tank in found) / sum(rates.expects(tank.causes) for tank in found)


def burn_interval(record: SpanRecord, share: float, settings: Settings) -> tuple[float, float]:
    """Between which ends the average distance between burns lies: narrower the more alike the distances are."""
    return rate_interval(*burns_over_miles(record), share, 1 / min(burn_variation(record, settings), 1.0) ** 2)


def burn_variation(record: SpanRecord, settings: Settings) -> float:
    """The coefficient of variation of the distances; few of them leave it near the guess."""
    burns, miles = burns_over_miles(record)
    singly = [span for span in record.counted if span.times == 1]
    varied = settings["noise_seen"] * (settings["noise"] / 100) ** 2 + sum((span.base * burns / miles - 1) ** 2 for span in singly)
    return sqrt(varied / (settings["noise_seen"] + max(len(singly) - 1, 0)))


def burns_over_miles(record: SpanRecord) -> tuple[float, float]:
    """How many burns came in how many miles, by the spans that count."""
    return sum(span.times for span in record.counted), sum(span.base * span.times for span in record.counted)


def pace_a_week(entries: Sequence[Entry], today: date, meter: str) -> Pace | None:
    """How much of a meter a week takes."""
    return pace((entries if isinstance(entries, Dated) else Dated(entries, today)).readings(meter))
