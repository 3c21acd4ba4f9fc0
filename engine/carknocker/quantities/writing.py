"""Writes quantities the way the trade does: fractions of an inch as a machinist writes them, figures with units."""

from fractions import Fraction
from functools import lru_cache

from carknocker.quantities.quantity import Quantity
from carknocker.quantities.units import DIMENSIONS

_FINEST = 64
_MOST_DECIMALS = 9
_FEET_FROM = 6 * 12
_METERS_FROM = 4000
_PLAIN_FROM = 2  # a ratio from here up that was written without % is a lever ratio or the like, not a share
_METRIC = {
    "length": ("mm", 2),
    "weight": ("kg", 0),
    "pressure": ("kPa", 0),
    "pressure per minute": ("kPa/min", 1),
    "temperature": ("°C", 1),
    "temperature difference": ("°C", 1),
    "speed": ("km/h", 0),
    "distance": ("km", 1),
    "volume": ("L", 2),
}


def write_quantity(quantity: Quantity, *, metric: bool = False) -> str:
    """The quantity in words: `1-1/16 in`, `82 ft 6 in`, `171,400 lb`, `10° 30'`; metric beside it on request.

    Inches come in lowest terms down to 1/64; an amount that is no 64th has three decimals (an exact decimal is cut
    nowhere else). Feet are used from 6 ft up when the figure was written in feet, of a distance up to a mile.
    """
    text = _written(quantity.dimension, quantity.n, quantity.d, quantity.unit)
    return f"{text} ({_in_metric(quantity)})" if metric and quantity.dimension in _METRIC else text


def write_inches(amount: Fraction) -> str:
    """A number of inches without its unit: `1-1/16`, `7/8`, `0.080`. One that is no 64th has three decimals, and more
    where three would show it as the 64th beside it: what falls short of 1 in never reads `1.000`."""
    if _is_64th(amount):
        sign = "-" if amount < 0 else ""
        whole, part = divmod(abs(amount), 1)
        if part == 0:
            return f"{sign}{whole:,}"
        return f"{sign}{whole:,}-{part}" if whole else f"{sign}{part}"
    places = 3
    while places < _MOST_DECIMALS and _is_64th(round(amount, places)):
        places += 1
    return _decimal(amount, places, keep_zeros=True)


def _is_64th(amount: Fraction) -> bool:
    return _FINEST % amount.denominator == 0


@lru_cache(maxsize=4096)  # a judgement writes the same figures again and again in its worked lines
def _written(dimension: str, n: int, d: int, unit: str) -> str:
    amount = Fraction(n, d)
    match dimension:
        case "length":
            return _length(amount, unit)
        case "ratio":
            if unit or (amount.denominator != 1 and amount < _PLAIN_FROM):
                return f"{_decimal(amount * 100, 2)} %"
            return _decimal(amount, 4)
        case "degree of curve":
            return _degrees(amount)
        case "distance":
            return _distance(amount, unit)
        case "temperature" | "temperature difference":
            return f"{_decimal(amount, 1)} °F"
        case "duration":
            return _duration(amount)
        case "resistance":
            return _resistance(amount)
        case "tapes":
            return f"{write_inches(amount)} tape" + ("" if abs(amount) == 1 else "s")
        case _:
            return f"{_decimal(amount, 2)} {DIMENSIONS[dimension].base}"


def _length(amount: Fraction, unit: str) -> str:
    factor = DIMENSIONS["length"].units.get(unit)
    if factor == 12 and amount >= _FEET_FROM:
        feet, inches = divmod(amount, 12)
        return f"{feet:,} ft" + (f" {write_inches(inches)} in" if inches else "")
    return f"{write_inches(amount)} in"


def _in_feet(unit: str) -> bool:
    return DIMENSIONS["distance"].units.get(unit) == Fraction(1, 5280)


def _distance(amount: Fraction, unit: str) -> str:
    """Feet stay feet while they are less than a mile."""
    if _in_feet(unit) and abs(amount) < 1:
        return f"{_decimal(amount * 5280, 1)} ft"
    return f"{_decimal(amount, 1)} mile" + ("" if amount == 1 else "s")


def _degrees(amount: Fraction) -> str:
    tenths = (amount * 1200 + 1) // 2  # of a minute, rounded before the degrees are taken, so that no 60' is left
    degrees, rest = divmod(tenths, 600)
    return f"{degrees}°" + (f" {_decimal(Fraction(rest, 10), 1)}'" if rest else "")


def _duration(hours: Fraction) -> str:
    """`4 h 1 min`, to the second as a decimal of a minute; never rounded to a whole hour that it is not."""
    whole, rest = divmod(abs(hours), 1)
    minutes = f"{_decimal(rest * 60, 2)} min" if rest else ""
    sign = "-" if hours < 0 else ""
    return sign + " ".join(part for part in (f"{whole:,} h" if whole or not minutes else "", minutes) if part)


def _resistance(amount: Fraction) -> str:
    for factor, name in ((1_000_000, "megohm"), (1000, "kilohm")):
        if amount >= factor:
            return f"{_decimal(amount / factor, 2)} {name}"
    return f"{_decimal(amount, 2)} ohm"


def _in_metric(quantity: Quantity) -> str:
    unit, places = _METRIC[quantity.dimension]
    dimension = DIMENSIONS[quantity.dimension]
    value = (quantity.amount - dimension.offsets.get(unit, Fraction(0))) / dimension.units[unit]
    if unit == "mm" and abs(value) >= _METERS_FROM:
        return f"{_decimal(value / 1000, 3)} m"
    if unit == "km" and abs(value) < 1 and _in_feet(quantity.unit):
        return f"{_decimal(value * 1000, 1)} m"
    return f"{_decimal(value, places)} {unit}"


def _decimal(amount: Fraction, places: int, *, keep_zeros: bool = False) -> str:
    """Rounded half away from zero, exactly; without idle zeros unless asked for."""
    scaled = abs(amount) * 10**places
    number = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    whole, rest = divmod(number, 10**places)
    text = f"{whole:,}"
    if places and (rest or keep_zeros):
        digits = f"{rest:0{places}d}"
        text += "." + (digits if keep_zeros else digits.rstrip("0"))
    return f"-{text}" if amount < 0 and number else text
