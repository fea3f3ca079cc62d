"""What do my own records say?"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from math import fsum
from typing import Any, NamedTuple

from calculators.engine import channels, records
from calculators.engine.channels import Burned, FullTanks, LeftOut, Meters, Span, burn_counts
from calculators.engine.channels import Tank as FullTank
from calculators.engine.entries import Entry
from calculators.engine.figures import Missing
from calculators.engine.learner import Point, ratio_interval
from calculators.engine.named import Lacks, column, column_where, how_many, lacking, lacks, milliliters, missing, total
from calculators.engine.records import DefGuess, Drained, FuelGuess, FuelRecord, SpanRecord
from calculators.engine.rules import Caution
from calculators.engine.units import (
    Count,
    Days,
    Dollars,
    DollarsPerMile,
    Gallons,
    GallonsPerHour,
    Hours,
    Miles,
    MilesPerGallon,
    MilesPerHour,
    Milliliters,
    Percent,
    Quarts,
)

EXAMPLE_BOOK = True  # the example trucks’ books are asked too
HEADLINE = ("fuel_economy_measured", "idle_rate_measured", "def_share_measured", "distance_per_week_measured", "idle_share",
            "distance_between_burns")
FIRST = "a first fill to the top"  # from which the first full tank is counted

Tables = dict[str, dict[str, Any]]
Expected = tuple[float | Missing, float | Missing]


class Tank(NamedTuple):
    """One full tank: what it took, against what was expected of it then."""

    date: date
    distance: Miles
    fuel: Gallons
    fuel_economy: MilesPerGallon
    expected_low: MilesPerGallon | Missing
    expected_high: MilesPerGallon | Missing
    counted: bool
    watched: bool
    remark: str
    entry: str


class Fill(NamedTuple):
    """DEF filled, by the fuel burned since the fill before."""

    date: date
    filled: Gallons
    fuel: Gallons
    def_share: Percent
    counted: bool
    entry: str


class Burn(NamedTuple):
    """Miles since the burn before; of a month’s check, their average."""

    date: date
    distance: Miles
    times: Count
    driven: Miles
    counted: bool
    entry: str


class Drain(NamedTuple):
    """Water drained, and in 100 gallons of the fuel burned since the drain before."""

    date: date
    water: Milliliters
    fuel: Gallons
    water_per_fuel: Milliliters
    counted: bool
    entry: str


class Alarm(NamedTuple):
    """What drifts: since which entry, when that was noticed, how far, what to look at first, and whether it still does."""

    what: str
    since: date
    look_at: str
    noticed: date
    change: Percent
    stands: bool
    entry: str


# Fuel ----------------------------------------------------------------------------------------------------------------------------


def meters_read(book: tuple[Entry, ...]) -> Meters:
    """The readings of the odometer and the hours that go together."""
    return channels.meters(book)


def full_tanks(book: tuple[Entry, ...], meters_read: Meters, average_speed: MilesPerHour | Missing) -> FullTanks:
    """Fuel from one full tank to the next, with its miles and its idle hours."""
    return channels.full_tanks(book, meters_read, average_speed)


def fuel_guess(fuel_economy: MilesPerGallon, idle_fuel_rate: GallonsPerHour) -> FuelGuess:
    """What you told, or the example’s, is no more than the first guess."""
    return FuelGuess(float(fuel_economy), float(idle_fuel_rate))


def fuel_record(full_tanks: FullTanks, fuel_guess: FuelGuess, watched: Tables) -> FuelRecord:
    """What the tanks say of miles and idle hours, one after another."""
    return records.fuel_record(full_tanks, fuel_guess, watched["fuel"], watched["without_hours"])


def tanks(fuel_record: FuelRecord, measured_interval: Percent) -> list[Tank]:
    """Every tank, and between which ends 9 of 10 were expected then."""
    return [_tank(tank, fuel_record, measured_interval) for tank in fuel_record.tanks]


def tanks_counted(tanks: list[Tank]) -> Count:
    """Full tanks that count: not those with a gap, those far off, and those of mostly towing, plowing or power take-off."""
    return how_many(column(tanks, "counted"), True)


def tanks_with_idle_hours(tanks: list[Tank]) -> Count:
    """Of these, those with idle hours at both ends: only they tell driving from idling, and only they are watched."""
    return how_many(column(tanks, "watched"), True)


def tanks_until_watched(tanks_with_idle_hours: Count, tanks_to_watch: Count) -> Count:
    """How many more of these it takes to notice a change."""
    return max(0, tanks_to_watch + 1 - tanks_with_idle_hours)


def distance_counted(tanks: list[Tank]) -> Miles:
    """Miles of the tanks that count."""
    return total(column_where(tanks, "distance", "counted"))


def fuel_counted(tanks: list[Tank]) -> Gallons:
    """Fuel of the tanks that count."""
    return total(column_where(tanks, "fuel", "counted"))


def tanks_lacking(fuel_record: FuelRecord, tanks_counted: Count, tanks_for_economy: Count) -> Lacks:
    """How many more would tell the fuel economy."""
    return lacks(tanks_for_economy - tanks_counted, fuel_record.started, "full tank", first=FIRST)


def idle_tanks_lacking(fuel_record: FuelRecord, tanks_with_idle_hours: Count, tanks_for_idle_rate: Count) -> Lacks:
    """How many more would tell the idle rate."""
    return lacks(tanks_for_idle_rate - tanks_with_idle_hours, fuel_record.started, "full tank", " with idle or engine hours", FIRST)


def fuel_economy_with_idling(distance_counted: Miles, fuel_counted: Gallons, tanks_lacking: Lacks) -> MilesPerGallon | Missing:
    """Miles on a gallon of all fuel, idling and all: every counted mile over every counted gallon."""
    return distance_counted / fuel_counted if fuel_counted > 0 else lacking(tanks_lacking)


def fuel_economy_measured(fuel_record: FuelRecord, fuel_economy_with_idling: MilesPerGallon | Missing, tanks_counted: Count,
                          tanks_with_idle_hours: Count, tanks_for_economy: Count, tanks_lacking: Lacks) -> MilesPerGallon | Missing:
    """Miles on a gallon: while driving, where idle hours tell it apart from idling; else of all fuel, idling and all."""
    return (lacking(tanks_lacking) if tanks_counted < tanks_for_economy
            else _driving(fuel_record) if tanks_with_idle_hours >= tanks_for_economy
            else fuel_economy_with_idling)


def fuel_economy_low(fuel_record: FuelRecord, fuel_economy_measured: MilesPerGallon | Missing, tanks_with_idle_hours: Count,
                     tanks_for_economy: Count, measured_interval: Percent) -> MilesPerGallon | Missing:
    """Least that it may be: 9 of 10 such intervals hold the true value."""
    return (fuel_economy_measured if missing(fuel_economy_measured)
            else 1 / _fuel_for_a_mile(fuel_record, tanks_with_idle_hours >= tanks_for_economy, measured_interval)[1])


def fuel_economy_high(fuel_record: FuelRecord, fuel_economy_measured: MilesPerGallon | Missing, tanks_with_idle_hours: Count,
                      tanks_for_economy: Count, measured_interval: Percent) -> MilesPerGallon | Missing:
    """Most that it may be."""
    return (fuel_economy_measured if missing(fuel_economy_measured)
            else _most(_fuel_for_a_mile(fuel_record, tanks_with_idle_hours >= tanks_for_economy, measured_interval)[0]))


def fuel_economy_in_hard_work(fuel_record: FuelRecord) -> MilesPerGallon | Missing:
    """Miles on a gallon of the tanks of mostly towing, plowing or power take-off, by themselves."""
    return (sum(tank.distance for tank in fuel_record.tanks if tank.hard) / sum(tank.fuel for tank in fuel_record.tanks if tank.hard)
            if any(tank.hard and tank.fuel for tank in fuel_record.tanks) else Missing("no tank was marked as hard work"))


def idle_rate_measured(fuel_record: FuelRecord, tanks_with_idle_hours: Count, tanks_for_idle_rate: Count,
                       idle_tanks_lacking: Lacks) -> GallonsPerHour | Missing:
    """Fuel that an hour of idling burns: what the miles leave over, by the same fit."""
    return (_idling(fuel_record) if tanks_with_idle_hours >= tanks_for_idle_rate
            else lacking(idle_tanks_lacking))


def idle_rate_low(fuel_record: FuelRecord, idle_rate_measured: GallonsPerHour | Missing,
                  idle_rate_interval: Percent) -> GallonsPerHour | Missing:
    """Least that it may be."""
    return idle_rate_measured if missing(idle_rate_measured) else fuel_record.rates.interval(1, idle_rate_interval / 100)[0]


def idle_rate_high(fuel_record: FuelRecord, idle_rate_measured: GallonsPerHour | Missing,
                   idle_rate_interval: Percent) -> GallonsPerHour | Missing:
    """Most that it may be."""
    return idle_rate_measured if missing(idle_rate_measured) else fuel_record.rates.interval(1, idle_rate_interval / 100)[1]


def fuel_paid(fuel_record: FuelRecord) -> Dollars:
    """Paid for the tanks whose every fill has a price, hard work and idling too."""
    return _sum(tank.cost for tank in fuel_record.priced)


def distance_paid(fuel_record: FuelRecord) -> Miles:
    """The miles of these."""
    return _sum(tank.distance for tank in fuel_record.priced)


def fuel_cost_per_distance(fuel_paid: Dollars, distance_paid: Miles) -> DollarsPerMile | Missing:
    """What fuel costs by the mile: all that was paid over all miles."""
    return fuel_paid / distance_paid if distance_paid > 0 else Missing("a full tank with the price of its fuel")


# DEF -----------------------------------------------------------------------------------------------------------------------------


def burned(meters_read: Meters, fuel_record: FuelRecord) -> Burned:
    """The fuel burned up to any entry."""
    return Burned(meters_read.odometer, fuel_record.burned)


def def_guess(def_share_of_fuel: Percent) -> DefGuess:
    """What you told, or what is worked out, is no more than the first guess."""
    return DefGuess(float(def_share_of_fuel))


def def_record(book: tuple[Entry, ...], burned: Burned, def_guess: DefGuess, watched: Tables) -> SpanRecord:
    """DEF by the fuel burned since the fill before."""
    return records.def_record(book, burned, def_guess, watched["exhaust_fluid"])


def def_fills(def_record: SpanRecord) -> list[Fill]:
    """Every DEF fill that closes a stretch."""
    return [_fill(span, def_record.points[span.entry]) for span in def_record.spans]


def def_fills_counted(def_fills: list[Fill]) -> Count:
    """DEF fills that count: not those far off."""
    return how_many(column(def_fills, "counted"), True)


def fills_lacking(def_record: SpanRecord, def_fills_counted: Count, fills_for_def_share: Count) -> Lacks:
    """How many more would tell the share."""
    return lacks(fills_for_def_share - def_fills_counted, def_record.started, "fill", " of DEF, between full tanks")


def def_share_measured(def_fills: list[Fill], def_fills_counted: Count, fills_for_def_share: Count,
                       fills_lacking: Lacks) -> Percent | Missing:
    """DEF as a share of the fuel: all that was filled over all fuel burned meanwhile."""
    return (total(column_where(def_fills, "filled", "counted")) / total(column_where(def_fills, "fuel", "counted")) * 100
            if def_fills_counted >= fills_for_def_share
            else lacking(fills_lacking))


def def_share_low(def_record: SpanRecord, def_share_measured: Percent | Missing, measured_interval: Percent) -> Percent | Missing:
    """Least that it may be."""
    return def_share_measured if missing(def_share_measured) else _share_of_fuel(def_record, measured_interval)[0]


def def_share_high(def_record: SpanRecord, def_share_measured: Percent | Missing, measured_interval: Percent) -> Percent | Missing:
    """Most that it may be."""
    return def_share_measured if missing(def_share_measured) else _share_of_fuel(def_record, measured_interval)[1]


# Burns ---------------------------------------------------------------------------------------------------------------------------


def burn_record(book: tuple[Entry, ...], meters_read: Meters, distance_between_burns_published_least: Miles,
                watched: Tables) -> SpanRecord:
    """Miles from one burn to the next."""
    return records.burn_record(book, meters_read, distance_between_burns_published_least, watched["burns"])


def burns_seen(book: tuple[Entry, ...]) -> Count:
    """Burns in the book: finished, parked and broken off."""
    return _seen(book)


def burns_not_finished(book: tuple[Entry, ...]) -> Count:
    """Of these, the ones broken off."""
    return _broken_off(book)


def burns_broken_off(burns_not_finished: Count, burns_seen: Count) -> Percent | Missing:
    """Share of the burns that were broken off."""
    return burns_not_finished / burns_seen * 100 if burns_seen > 0 else Missing("a burn that was seen, or a check that counts them")


def burns(burn_record: SpanRecord) -> list[Burn]:
    """Every distance between burns."""
    return [_burn(span, burn_record.points[span.entry]) for span in burn_record.spans]


def burns_counted(burns: list[Burn]) -> Count:
    """Burns whose distance from the one before counts."""
    return total(column_where(burns, "times", "counted"))


def burns_lacking(burn_record: SpanRecord, burns_counted: Count, burns_for_distance: Count) -> Lacks:
    """How many more would tell the distance."""
    return lacks(burns_for_distance - burns_counted, burn_record.started, "burn", " with the odometer")


def distance_between_burns(burns: list[Burn], burns_counted: Count, burns_for_distance: Count, burns_lacking: Lacks) -> Miles | Missing:
    """Miles between two burns: all miles over all burns; a second try soon after one broken off is the same burn."""
    return (total(column_where(burns, "driven", "counted")) / burns_counted if burns_counted >= burns_for_distance
            else lacking(burns_lacking))


def burn_distance_low(burn_record: SpanRecord, distance_between_burns: Miles | Missing, measured_interval: Percent,
                      watched: Tables) -> Miles | Missing:
    """Least that it may be on average."""
    return (distance_between_burns if missing(distance_between_burns)
            else records.burn_interval(burn_record, measured_interval / 100, watched["burns"])[0])


def burn_distance_high(burn_record: SpanRecord, distance_between_burns: Miles | Missing, measured_interval: Percent,
                       watched: Tables) -> Miles | Missing:
    """Most that it may be on average."""
    return (distance_between_burns if missing(distance_between_burns)
            else records.burn_interval(burn_record, measured_interval / 100, watched["burns"])[1])


def burns_too_irregular(burn_record: SpanRecord, distance_between_burns: Miles | Missing, watched: Tables) -> bool | Missing:
    """Whether they come too irregularly to notice a change."""
    return distance_between_burns if missing(distance_between_burns) else _too_irregular(burn_record, watched["burns"])


# Water and oil -------------------------------------------------------------------------------------------------------------------


def water_limit(water_in_fuel_limit: Percent, water_fuel_volume: Gallons) -> Milliliters:
    """What 100 gallons may hold by the standard."""
    return milliliters(water_fuel_volume * water_in_fuel_limit / 100)


def water_record(book: tuple[Entry, ...], burned: Burned, water_limit: Milliliters, water_fuel_volume: Gallons,
                 water_watch: dict[str, float]) -> Drained:
    """Water drained by the fuel burned since the drain before."""
    return records.water_record(book, burned, water_limit / water_fuel_volume, water_watch)


def drains(water_record: Drained, water_fuel_volume: Gallons) -> list[Drain]:
    """Every drain whose water was measured."""
    return [_drain(span, water_fuel_volume) for span in water_record.spans]


def drains_counted(drains: list[Drain]) -> Count:
    """How many these are."""
    return how_many(column(drains, "counted"), True)


def drains_lacking(water_record: Drained, drains_counted: Count, drains_for_water: Count) -> Lacks:
    """How many more would tell the usual water."""
    return lacks(drains_for_water - drains_counted, water_record.started, "drain", " with the water measured, between full tanks")


def water_per_fuel(drains: list[Drain], drains_counted: Count, water_fuel_volume: Gallons, drains_for_water: Count,
                   drains_lacking: Lacks) -> Milliliters | Missing:
    """Water in 100 gallons: all that was drained over all fuel burned meanwhile."""
    return (total(column(drains, "water")) / total(column(drains, "fuel")) * water_fuel_volume if drains_counted >= drains_for_water
            else lacking(drains_lacking))


# The week ------------------------------------------------------------------------------------------------------------------------


def distance_per_week_measured(book: tuple[Entry, ...], today: date, pace_days_apart: Days, pace_days_back: Days) -> Miles | Missing:
    """Miles in a week, by the first and the last reading of the last half year."""
    return _pace(book, today, "odometer", pace_days_apart, pace_days_back)


def engine_hours_per_week_measured(book: tuple[Entry, ...], today: date, pace_days_apart: Days, pace_days_back: Days) -> Hours | Missing:
    """Engine hours in a week, likewise."""
    return _pace(book, today, "engine_hours", pace_days_apart, pace_days_back)


def idle_meter_per_week(book: tuple[Entry, ...], today: date, pace_days_apart: Days, pace_days_back: Days) -> Hours | Missing:
    """Hours in a week by the idle meter, where the truck has one."""
    return _pace(book, today, "idle_hours", pace_days_apart, pace_days_back)


def idle_hours_per_week_measured(idle_meter_per_week: Hours | Missing, engine_hours_per_week_measured: Hours | Missing,
                                 distance_per_week_measured: Miles | Missing, average_speed: MilesPerHour | Missing) -> Hours | Missing:
    """Idle hours in a week: by the idle meter, else the engine’s hours less those of driving at your trips’ speed."""
    return (idle_meter_per_week if not missing(idle_meter_per_week)
            else engine_hours_per_week_measured if missing(engine_hours_per_week_measured)
            else distance_per_week_measured if missing(distance_per_week_measured)
            else average_speed if missing(average_speed)
            else Missing("at your trips’ speed the driving alone takes more hours than the engine ran: check the speeds you told")
            if engine_hours_per_week_measured < distance_per_week_measured / average_speed
            else engine_hours_per_week_measured - distance_per_week_measured / average_speed)


def hours_per_week_in_all(idle_hours_per_week_measured: Hours, engine_hours_per_week_measured: Hours | Missing,
                          distance_per_week_measured: Miles | Missing, average_speed: MilesPerHour | Missing) -> Hours | Missing:
    """Hours in a week that the engine runs; where its meter does not tell, idling and driving at your trips’ speed."""
    return (engine_hours_per_week_measured if not missing(engine_hours_per_week_measured)
            else distance_per_week_measured if missing(distance_per_week_measured)
            else average_speed if missing(average_speed)
            else idle_hours_per_week_measured + distance_per_week_measured / average_speed)


def idle_share(idle_hours_per_week_measured: Hours, hours_per_week_in_all: Hours) -> Percent | Missing:
    """Idling as a share of the engine’s hours."""
    return idle_hours_per_week_measured / hours_per_week_in_all * 100 if hours_per_week_in_all > 0 else Missing("the engine did not run")


# What drifts ---------------------------------------------------------------------------------------------------------------------


def alarms(book: tuple[Entry, ...], fuel_record: FuelRecord, def_record: SpanRecord, burn_record: SpanRecord, water_record: Drained,
           oil_capacity: Quarts, fuel_in_oil_limit: Percent, oil_marks: dict[str, float], oil_watch: dict[str, float],
           slow_watch: dict[str, float], alarm_words: Tables) -> list[Alarm]:
    """All that drifted, and when it was noticed: a nudge where to look, no diagnosis."""
    found = (*fuel_record.alarms, *records.slower_than_a_year_ago(fuel_record, slow_watch), *def_record.alarms, *burn_record.alarms,
             *water_record.alarms, *records.oil_alarms(book, oil_marks, oil_watch, oil_capacity, fuel_in_oil_limit))
    return [Alarm(one.what, one.since, alarm_words[one.what]["look_at"], one.noticed, one.change, one.stands, one.entry)
            for one in sorted(found, key=lambda one: one.noticed)]


def alarms_standing(alarms: list[Alarm]) -> Count:
    """How many of them still stand."""
    return how_many(column(alarms, "stands"), True)


def first_alarm(alarms: list[Alarm], alarm_words: Tables) -> str | Missing:
    """Of those that stand, the gravest."""
    return _first(alarms, alarm_words, lambda alarm: alarm.what)


def first_alarm_since(alarms: list[Alarm], alarm_words: Tables) -> date | Missing:
    """Since when it stands."""
    return _first(alarms, alarm_words, lambda alarm: alarm.since)


def first_alarm_change(alarms: list[Alarm], alarm_words: Tables) -> Percent | Missing:
    """How far it went, up or down, to the whole percent."""
    return _first(alarms, alarm_words, lambda alarm: float(round(abs(alarm.change))))


def left_out(fuel_record: FuelRecord, def_record: SpanRecord, burn_record: SpanRecord, water_record: Drained) -> list[LeftOut]:
    """Entries that are not counted, and why: correct them where they are wrong."""
    found = (*fuel_record.left_out, *def_record.left_out, *burn_record.left_out, *water_record.left_out)
    return _in_order(found)


def verdict(alarms_standing: Count, tanks_with_idle_hours: Count, def_fills_counted: Count, burns_counted: Count,
            tanks_to_watch: Count) -> str | Missing:
    """Watch: an alarm stands. Fits: none does. Nothing is said before there is enough to notice a change by."""
    return ("watch" if alarms_standing > 0
            else "fits" if max(tanks_with_idle_hours, def_fills_counted, burns_counted) > tanks_to_watch
            else Missing("too few tanks, DEF fills or burns to notice a change"))


def no_diagnosis() -> Caution:
    """Said with every answer: what a record can’t tell."""
    return Caution("NOTICE", "A change in the record is no diagnosis.",
                   "Look at what is named first, then let a shop find the cause. The maker’s manual wins.")


def oil_above_full(first_alarm: str) -> Caution | Missing:
    """Said while the oil stands too high."""
    return (Caution("CAUTION", "Oil thinned by fuel or coolant wears the engine, and too much of it foams.",
                    "Look at the dipstick before each start and don’t tow or plow until the cause is found.")
            if first_alarm == "oil_rising" else Missing("the oil is not what stands out"))


def answer(first_alarm: str | Missing, alarm_words: Tables, verdict: str | Missing, fuel_economy_measured: MilesPerGallon | Missing,
           idle_rate_measured: GallonsPerHour | Missing) -> str:
    """The sentence that says what to do."""
    return (f"Since {{first_alarm_since}} {alarm_words[first_alarm]['says']}. {alarm_words[first_alarm]['look_at']}"
            if not missing(first_alarm)
            else "Write down every fill with the odometer and the hours: {fuel_economy_measured}, and your book says what your truck uses."
            if missing(fuel_economy_measured)
            else "By {tanks_counted} tanks it goes {fuel_economy_measured}. Keep writing down every fill, with the hours, "
                 "so that a change is noticed."
            if missing(idle_rate_measured) or missing(verdict)
            else "Keep writing down every fill: by {tanks_counted} tanks it goes {fuel_economy_measured} driving, "
                 "burns {idle_rate_measured} idling, and nothing drifts.")


# Helpers -------------------------------------------------------------------------------------------------------------------------


def _seen(book: tuple[Entry, ...]) -> float:
    return sum(burn_counts(book))


def _broken_off(book: tuple[Entry, ...]) -> float:
    return burn_counts(book)[1]


def _over(amount: float, by: float, why: str = "nothing was burned") -> float | Missing:
    return amount / by if by else Missing(why)


def _driving(fuel_record: FuelRecord) -> float | Missing:
    return _most(fuel_record.rates.rates[0])


def _idling(fuel_record: FuelRecord) -> float:
    return fuel_record.rates.rates[1]


def _most(fuel_for_a_mile: float) -> float | Missing:
    return 1 / fuel_for_a_mile if fuel_for_a_mile else Missing("by these tanks the miles take no fuel")


def _too_irregular(burn_record: SpanRecord, settings: dict[str, float]) -> bool:
    return records.burn_variation(burn_record, settings) > settings["most_noise"] / 100


def _fuel_for_a_mile(fuel_record: FuelRecord, by_both_rates: bool, interval: float) -> tuple[float, float]:
    if by_both_rates:
        return fuel_record.rates.interval(0, interval / 100)
    return ratio_interval([tank.distance for tank in fuel_record.counted], [tank.fuel for tank in fuel_record.counted], interval / 100)


def _share_of_fuel(def_record: SpanRecord, interval: float) -> list[float]:
    ends = ratio_interval([span.base for span in def_record.counted], [span.amount for span in def_record.counted], interval / 100)
    return [end * 100 for end in ends]


def _tank(tank: FullTank, fuel_record: FuelRecord, interval: float) -> Tank:
    counted = tank in fuel_record.counted
    expected, remark = _expected(tank, fuel_record, interval)
    return Tank(tank.date, tank.distance, tank.fuel, tank.distance / tank.fuel, *expected, counted, counted and tank.is_clocked, remark,
                tank.entry)


def _expected(tank: FullTank, fuel_record: FuelRecord, interval: float) -> tuple[Expected, str]:
    """What its fuel economy was expected to be at least and at most, and a word about the tank."""
    point = fuel_record.points.get(tank.entry)
    if not point or not point.expected:
        why = Missing("hard work is not expected to be like the rest")
        return (why, why), "hard" if tank.hard else "left_out"
    remark = "joined" if point.joined else "left_out" if not point.counted else "watched" if tank.is_clocked else "without_hours"
    reach = point.spread * fuel_record.reach(interval / 100)
    most = tank.distance / (point.expected * (1 - reach)) if reach < 1 else Missing("too few tanks to tell")
    return (tank.distance / (point.expected * (1 + reach)), most), remark


def _fill(span: Span, point: Point) -> Fill:
    return Fill(span.date, span.amount, span.base, span.amount / span.base * 100, point.counted or point.joined, span.entry)


def _burn(span: Span, point: Point) -> Burn:
    return Burn(span.date, span.base, span.times, span.base * span.times, point.counted or point.joined, span.entry)


def _drain(span: Span, volume: float) -> Drain:
    return Drain(span.date, span.amount, span.base, span.amount / span.base * volume, True, span.entry)


def _sum(values: Iterable[float | None]) -> float:
    return fsum(value or 0 for value in values)


def _pace(book: tuple[Entry, ...], today: date, meter: str, days_apart: float, days_back: float) -> float | Missing:
    pace = records.pace_a_week(book, today, meter)
    return pace.per_week if pace else Missing(
        f"a reading of the {meter.replace('_', ' ')}, {days_apart:.0f} to {days_back:.0f} days before the last one")


def _in_order(found: Sequence[LeftOut]) -> list[LeftOut]:
    return sorted(found)


def _first[T](alarms: list[Alarm], alarm_words: Tables, told: Callable[[Alarm], T]) -> T | Missing:
    """Something about the gravest of the alarms that stand; of equals, the oldest."""
    order = list(alarm_words)
    first = min((alarm for alarm in alarms if alarm.stands), key=lambda alarm: (order.index(alarm.what), alarm.since), default=None)
    return told(first) if first else Missing("no alarm stands")
