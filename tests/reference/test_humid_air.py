"""Moist air: ASHRAE Handbook Fundamentals (2017) chapter 1, by psychrolib, and example 1 as kept in its own tests; CoolProp's humid air.

psychrolib holds the same equations: they agree to the last digits. CoolProp counts real-gas effects, which ASHRAE's
simple equations leave out: they agree within one percent.
"""

from math import exp

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from calculators.engine.figures import FIGURES
from tests.unit.ask import results

psychrolib.SetUnitSystem(psychrolib.SI)
LITERS_PER_GALLON = 3.785411784


def kelvin(celsius: float) -> float:
    return celsius + 273.15


def air(warm: float, humidity: float, cool: float) -> dict[str, float]:
    """Our results for air of that temperature in degC and humidity in %, cooled."""
    return results("tank_water", warm_temperature=f"{warm} degC", cool_temperature=f"{cool} degC", relative_humidity=humidity)


def test_ashrae_example_1() -> None:
    """100 degF, wet bulb 65 degF: humidity ratio 0.00523, dew point 40 degF, relative humidity 13 % (all as rounded there)."""
    said = results("tank_water", warm_temperature=100, cool_temperature=50, relative_humidity=13)
    assert said["humidity_ratio"] == pytest.approx(0.00523, rel=0.04)  # 13 % is rounded from 12.5..13.5
    assert said["dew_point"] == pytest.approx(40, abs=1)


def test_100_liters_cooled_from_25_to_5_degrees_give_up_three_quarters_of_a_gram() -> None:
    """60 % humidity at sea level: 0.754 g (by psychrolib, as below)."""
    said = air(25, 60, 5)
    assert said["water_in_air"] / LITERS_PER_GALLON * 100 == pytest.approx(0.754, abs=0.0005)


def test_the_atmosphere_and_the_gas_constant_of_dry_air() -> None:
    assert FIGURES["air_pressure"].value == 101_325
    assert FIGURES["dry_air_constant"].value == pytest.approx(8.314462618 / 28.966, rel=1e-4)  # R over the molar mass of dry air
    assert FIGURES["vapor_to_air_mass"].value == pytest.approx(18.015268 / 28.966, rel=1e-4)


EACH_AIR = [(warm, humidity) for warm in (-15, -1, 1, 10, 25, 40) for humidity in (5, 50, 100)]


@pytest.mark.parametrize(("warm", "humidity"), EACH_AIR)
def test_humidity_ratio_and_dew_point_by_psychrolib(warm: float, humidity: float) -> None:
    said = air(warm, humidity, warm)
    assert said["vapor_pressure"] == pytest.approx(psychrolib.GetVapPresFromRelHum(warm, humidity / 100), rel=1e-9)
    assert said["humidity_ratio"] == pytest.approx(psychrolib.GetHumRatioFromRelHum(warm, humidity / 100, 101_325), rel=1e-9)
    assert (said["dew_point"] - 32) / 1.8 == pytest.approx(psychrolib.GetTDewPointFromRelHum(warm, humidity / 100), abs=1e-6)


@pytest.mark.parametrize(("warm", "humidity", "cool"), [(25, 60, 5), (30, 90, -10), (-5, 100, -20), (40, 20, 18)])
def test_water_given_up_by_psychrolib(warm: float, humidity: float, cool: float) -> None:
    ratio = psychrolib.GetHumRatioFromRelHum(warm, humidity / 100, 101_325)
    left = psychrolib.GetHumRatioFromRelHum(cool, 1, 101_325)
    volume = psychrolib.GetMoistAirVolume(warm, ratio, 101_325)
    water = max(0.0, ratio - left) / volume * LITERS_PER_GALLON  # kg/m3 is g/L, and a gram is a milliliter
    assert air(warm, humidity, cool)["water_in_air"] == pytest.approx(water, rel=1e-3)


@pytest.mark.parametrize(("warm", "humidity"), EACH_AIR)
def test_humidity_ratio_and_dew_point_by_coolprop(warm: float, humidity: float) -> None:
    said = air(warm, humidity, warm)
    ratio = HAPropsSI("W", "T", kelvin(warm), "P", 101_325, "R", humidity / 100)
    assert said["humidity_ratio"] == pytest.approx(ratio, rel=0.01)
    dew_point = HAPropsSI("D", "T", kelvin(warm), "P", 101_325, "R", humidity / 100)
    assert (said["dew_point"] + 459.67) * 5 / 9 == pytest.approx(dew_point, abs=0.1)


def over_ice(kelvin_: float) -> float:
    """IAPWS R14-08 (2011): vapor pressure over ice in Pa, from the triple point."""
    share = kelvin_ / 273.16
    terms = ((-21.2144006, 0.00333333333), (27.3203819, 1.20666667), (-6.10598130, 1.70333333))
    return 611.657 * exp(sum(factor * share**power for factor, power in terms) / share)


@pytest.mark.parametrize("fahrenheit", [25, 30, 32])
def test_vapor_pressure_over_ice_by_iapws(fahrenheit: float) -> None:
    """ASHRAE's equation meets it at the triple point and leaves it slowly in the cold."""
    said = results("tank_water", warm_temperature=fahrenheit, cool_temperature=fahrenheit, relative_humidity=100)
    assert said["vapor_pressure"] == pytest.approx(over_ice((fahrenheit + 459.67) * 5 / 9), rel=1e-4)
    cold = results("tank_water", warm_temperature=-60, cool_temperature=-60, relative_humidity=100)
    assert cold["vapor_pressure"] == pytest.approx(over_ice((-60 + 459.67) * 5 / 9), rel=5e-4)


@pytest.mark.parametrize("fahrenheit", [33, 50, 80, 104, 139])
def test_vapor_pressure_over_water_by_coolprop(fahrenheit: float) -> None:
    said = results("tank_water", warm_temperature=fahrenheit, cool_temperature=fahrenheit, relative_humidity=100)
    assert said["vapor_pressure"] == pytest.approx(PropsSI("P", "T", (fahrenheit + 459.67) * 5 / 9, "Q", 0, "Water"), rel=3e-4)


@pytest.mark.parametrize(("warm", "humidity", "cool"), [(25, 60, 5), (35, 80, 20), (30, 90, -10), (10, 100, 0), (-5, 100, -20),
                                                        (40, 20, 18)])
def test_water_given_up_by_coolprop(warm: float, humidity: float, cool: float) -> None:
    ratio = HAPropsSI("W", "T", kelvin(warm), "P", 101_325, "R", humidity / 100)
    ratio_cool = HAPropsSI("W", "T", kelvin(cool), "P", 101_325, "R", 1)
    volume = HAPropsSI("Vda", "T", kelvin(warm), "P", 101_325, "R", humidity / 100)
    water = max(0.0, ratio - ratio_cool) / volume * LITERS_PER_GALLON  # kg/m3 is g/L, and a gram is a milliliter
    assert air(warm, humidity, cool)["water_in_air"] == pytest.approx(water, rel=0.015, abs=1e-4)


def test_cooling_from_86_to_50_degrees_draws_in_6_6_percent() -> None:
    """1 - Tc/Tw, absolute: arithmetic."""
    assert results("tank_water", warm_temperature=86, cool_temperature=50)["air_exchanged"] == pytest.approx(6.6, abs=0.05)


@pytest.mark.parametrize(("humidity", "dew_point"), [(0, None), (100, 80)])
def test_dry_and_saturated(humidity: float, dew_point: float | None) -> None:
    said = results("tank_water", relative_humidity=humidity, warm_temperature=80, cool_temperature=80)
    assert said["dew_point"] == (None if dew_point is None else pytest.approx(dew_point, abs=1e-6))
    assert said["water_per_cycle"] == pytest.approx(0, abs=1e-12)


def test_the_dew_point_ends_where_the_equation_does() -> None:
    """ASHRAE (2017), equation 5 holds from -148 degF: air that would dew only below it is said to dew there."""
    said = results("tank_water", relative_humidity=1e-9, warm_temperature=-60, cool_temperature=-60)
    assert said["dew_point"] == pytest.approx(-148, abs=1e-9)
