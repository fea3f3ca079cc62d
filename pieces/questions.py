"""The six questions of My truck, each with the line that says what is known by its answer, and what to tell next."""

from collections.abc import Callable, Mapping
from typing import Any

from markupsafe import Markup

from calculators.engine.figures import FIGURES
from calculators.engine.show import words
from pieces.forms import in_cell
from pieces.markup import html, join

DOES = {"plows": "Plows", "tows": "Tows", "hauls": "Hauls", "power_take_off": "Power take-off"}
METERS = ("odometer", "engine_hours")
TRIPS = ("short_trips_per_week", "long_trips_per_week", "short_trip_time", "long_trip_time")
IDLING = "idle_hours_per_week"
ASKED = (*DOES, *METERS, *TRIPS, IDLING)
LABEL = ("front_axle_rating", "rear_axle_rating", "gross_rating")
SHARPENED = ("service_due", "regeneration", "idle_bill", "exhaust_fluid_use", "fluid_cost")  # looked at for what moves them

type Fields = Mapping[str, Any]
type Write = Callable[[Any], Markup]


def questions(fields: Fields, name: Markup, write: Write) -> Markup:
    """All six, and at their foot the way out, at any moment."""
    def cells(*names: str) -> Markup:
        return join(write(_in_one_unit(fields[name])) for name in names)

    long_drive = words((FIGURES["drive_to_finish_a_burn"].spread or (0,))[-1], "min").phrase
    asked = (
        ("work", "What do you call it, and what does it do?", html('<div class="pair"><div class="all">{}</div></div>{}', name, _does())),
        ("meters", "What does it show today?", _pair(cells(*METERS))),
        ("delivery", "New or used when you got it, and when?", html("{}{}", _choice("delivery.new", "New or used when you got it?",
            (("yes", "New"), ("no", "Used"))), _pair(
                _day("delivery.date", "Month, or day"), _number("delivery.odometer", "Odometer then", "mi")))),
        ("oil", "When was the oil last changed?", html("{}{}", _pair(
            _day("oil.date", "Month, or day"), _number("oil.odometer", "Odometer then", "mi"),
            _number("oil.engine_hours", "Engine hours then", "h")), _unknown("oil.known", "I don’t know"))),
        ("trips", "How many trips in a usual week?", html('<p class="soft">A long trip takes {} or more.</p>{}', long_drive,
                                                         _pair(cells(*TRIPS)))),
        ("idling", "How many hours does it idle in a week?", html('{}<p class="soft">A storm week counts too.</p>', _pair(cells(IDLING)))),
    )  # fmt: skip
    rows = join(_question(place, *one) for place, one in enumerate(asked, 1))
    return html('<section class="six-questions" aria-label="Six questions"><ol class="ask">{}</ol><div class="bar-foot">'
                '<p data-six>0 of {} told</p><button class="btn solid" type="button" data-enough>Enough for now</button>'
                '<p class="says" data-says></p></div></section>', rows, len(asked))


def _question(place: int, key: str, head: str, body: Markup) -> Markup:
    return html('<li class="wait" data-ask="{0}"><span class="no" aria-hidden="true">{1}</span><div class="q" role="group"'
                ' aria-labelledby="ask-{0}"><h2 id="ask-{0}">{2}</h2><div>{3}</div></div>'
                '<div class="so" data-so hidden><b>so</b><p></p></div></li>', key, place, head, body)


def _pair(*cells: Markup) -> Markup:
    return html('<div class="pair">{}</div>', join(cells))


def _in_one_unit(field: Any) -> Any:
    """A choice of units beside each answer is two stops for a keyboard; what is typed with its unit is read all the same."""
    return field._replace(units=field.units[:1])


def _does() -> Markup:
    boxes = join(html('<label><input type="checkbox" data-sets="{}" value="yes">{}</label>', name, label) for name, label in DOES.items())
    told = join(_hidden(name, ("yes", "no")) for name in DOES)
    return html('<div class="picks">{}<label><input type="checkbox" data-none>None of these</label></div>{}', boxes, told)


def _hidden(name: str, choices: tuple[str, ...]) -> Markup:
    """What the boxes to tick set: a fact that nobody told is not a no."""
    at = f"truck-{name.replace('.', '-')}"
    options = join(html('<option value="{0}">{0}</option>', choice) for choice in choices)
    return html('<select name="{}" id="{}" hidden><option value="">not known</option>{}</select><span class="err" id="{}-e"></span>',
                name, at, options, at)


def _choice(name: str, question: str, choices: tuple[tuple[str, str], ...]) -> Markup:
    radios = join(html('<label><input type="radio" name="pick-{}" data-sets="{}" value="{}">{}</label>', name, name, value, label)
                  for value, label in choices)
    return html('<div class="seg" role="radiogroup" aria-label="{}">{}</div>{}', question, radios,
                _hidden(name, tuple(value for value, _ in choices)))


def _unknown(name: str, label: str) -> Markup:
    return html('<div class="picks"><label><input type="checkbox" data-sets="{}" value="no">{}</label></div>{}', name, label,
                _hidden(name, ("no",)))


def _day(name: str, label: str) -> Markup:
    at = f"truck-{name.replace('.', '-')}"
    return in_cell(at, label, html('<input name="{0}" id="{1}" aria-describedby="{1}-e" type="text" maxlength="40" placeholder="6/2026">',
                                   name, at))


def _number(name: str, label: str, unit: str) -> Markup:
    at = f"truck-{name.replace('.', '-')}"
    spoken = {"mi": "miles", "h": "hours"}[unit]
    return in_cell(at, label, html(
        '<input name="{0}" id="{1}" aria-describedby="{1}-u {1}-e" type="text" inputmode="decimal" placeholder="not told">'
        '<span class="u" data-unit="{2}" aria-hidden="true">{2}</span><span class="heard" id="{1}-u">{3}</span>', name, at, unit, spoken))


def door_label(fields: Fields, write: Write) -> Markup:
    """The ratings lead what follows: until they are told, nothing is said about weight."""
    return html('<section class="label" aria-labelledby="door-label"><h2 class="cut" id="door-label">What may it carry?</h2>'
                '<p class="lede">It stands on the label in the driver’s door. No example here: until you tell it, nothing is said'
                ' about weight.</p><div class="cells">{}</div></section>', join(write(fields[name]) for name in LABEL))


def sharpen(homes: Mapping[str, tuple[str, str]]) -> Markup:
    """Where the script puts the facts that would move the answers most, and the card it makes of each."""
    where = join(html('<a href="{}" data-home="{}">{}</a>', address, name, question) for name, (address, question) in homes.items())
    card = ('<li><h3>{question}</h3><div class="body"><div data-field></div><p class="soft">{now}</p>'
            '<div class="moves" aria-hidden="true"><span>{low}</span><span>{high}</span></div><p class="gain">{gain}</p></div>'
            '<p class="where"></p></li>')
    return html('<section class="sharpen" data-sharpen aria-labelledby="sharpen" hidden><h2 class="cut" id="sharpen">Sharpen</h2>'
                '<p class="lede">What would move your answers most, strongest first.</p><ul class="sharp"></ul></section>'
                '<template data-row="sharpen">{}</template><template data-homes>{}</template>', Markup(card), where)
