"""Units: each dimension with its base unit and the exact factor of every spelling that is read.

Factors follow the international yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg) and the
standard acceleration of gravity 9.80665 m/s² (CGPM 1901), all exact.
"""

from collections.abc import Mapping
from fractions import Fraction

import msgspec


class Dimension(msgspec.Struct, frozen=True):
    """A kind of quantity. `units`: spelling → factor to the base unit. `offsets`: spelling → zero point, if not 0.
    bare_allowed: a number without a unit is read as one in the base unit."""

    name: str
    base: str
    example: str
    units: Mapping[str, Fraction]
    offsets: Mapping[str, Fraction] = msgspec.field(default_factory=dict)
    bare_allowed: bool = False


_INCH_IN_METERS = Fraction(254, 10000)
_POUND_IN_KILOGRAMS = Fraction(45359237, 100000000)
_GRAVITY = Fraction(980665, 100000)
_PSI_IN_PASCALS = _POUND_IN_KILOGRAMS * _GRAVITY / _INCH_IN_METERS**2
_MILE_IN_METERS = Fraction(1609344, 1000)
_GALLON_IN_LITERS = Fraction(3785411784, 1000000000)


def _spelt(*groups: tuple[Fraction | int, str]) -> dict[str, Fraction]:
    return {spelling: Fraction(factor) for factor, spellings in groups for spelling in spellings.split("|")}


_PRESSURE = _spelt(
    (1, "psi|lb/in²|lbf/in²|pounds per square inch"),
    (1000 / _PSI_IN_PASCALS, "kPa|kilopascal|kilopascals"),
    (100000 / _PSI_IN_PASCALS, "bar"),
)
FIRST_LETTER_TELLS = frozenset({"Mohm", "Mohms"})
"""Spellings whose first letter must be written as it stands here: in small it says thousandths, not millions."""
_PER_MINUTE = ("/min", " per minute", " a minute", "/minute")


DIMENSIONS: Mapping[str, Dimension] = {
    dimension.name: dimension
    for dimension in (
        Dimension(
            "length",
            "in",
            "1 1/16 in",
            _spelt(
                (1, 'in|inch|inches|"|″|”|in.'),
                (12, "ft|foot|feet|'|′|’|ft."),
                (36, "yd|yard|yards"),
                (1 / (1000 * _INCH_IN_METERS), "mm|millimeter|millimeters|millimetre|millimetres"),
                (1 / (100 * _INCH_IN_METERS), "cm|centimeter|centimeters|centimetre|centimetres"),
                (1 / _INCH_IN_METERS, "m|meter|meters|metre|metres"),
            ),
        ),
        Dimension(
            "weight",
            "lb",
            "171,400 lb",
            _spelt(
                (1, "lb|lbs|pound|pounds|lb."),
                (Fraction(1, 16), "oz|ounce|ounces"),
                (2000, "ton|tons|short ton|short tons"),
                (1 / _POUND_IN_KILOGRAMS, "kg|kilogram|kilograms"),
                (1000 / _POUND_IN_KILOGRAMS, "tonne|tonnes"),
            ),
        ),
        Dimension("pressure", "psi", "110 psi", _PRESSURE),
        Dimension(
            "pressure per minute",
            "psi/min",
            "3 psi/min",
            {unit + per: factor for unit, factor in _PRESSURE.items() for per in _PER_MINUTE},
        ),
        Dimension(
            "temperature",
            "°F",
            "170 °F",
            _spelt(
                (1, "°F|deg F|degF|degrees F|degrees Fahrenheit"),
                (Fraction(9, 5), "°C|deg C|degC|degrees C|degrees Celsius"),
            ),
            {spelling: Fraction(32) for spelling in ["°C", "deg C", "degC", "degrees C", "degrees Celsius"]},
        ),
        Dimension(
            "temperature difference",
            "°F",
            "95 °F",
            _spelt(
                (1, "°F|deg F|degF|degrees F|degrees Fahrenheit"),
                (Fraction(9, 5), "°C|deg C|degC|degrees C|degrees Celsius|K"),
            ),
        ),
        Dimension(
            "speed",
            "mph",
            "40 mph",
            _spelt(
                (1, "mph|mi/h|miles per hour|miles an hour"),
                (1000 / _MILE_IN_METERS, "km/h|kph|kilometers per hour|kilometres per hour"),
            ),
        ),
        Dimension(
            "distance",
            "mi",
            "212 miles",
            _spelt(
                (1, "mi|mile|miles"),
                (1000 / _MILE_IN_METERS, "km|kilometer|kilometers|kilometre|kilometres"),
                (Fraction(1, 5280), "ft|foot|feet"),
            ),
        ),
        Dimension("ratio", "", "70 %", _spelt((Fraction(1, 100), "%|percent|per cent")), bare_allowed=True),
        Dimension(
            "degree of curve", "°", "10° 30'", _spelt((1, "°|deg|degree|degrees"), (Fraction(1, 60), "'|′|’|min"))
        ),
        Dimension(
            "volume",
            "gal",
            "2 qt",
            _spelt(
                (1, "gal|gallon|gallons|US gal"),
                (Fraction(1, 4), "qt|quart|quarts"),
                (Fraction(1, 8), "pt|pint|pints"),
                (1 / _GALLON_IN_LITERS, "L|l|liter|liters|litre|litres"),
            ),
        ),
        Dimension(
            "resistance",
            "ohm",
            "2 megohm",
            _spelt(
                (1, "ohm|ohms|Ω|\u2126"),
                (1000, "kilohm|kilohms|kΩ|k\u2126|kohm"),
                (1000000, "megohm|megohms|megaohm|megaohms|MΩ|M\u2126|Mohm|Mohms"),
            ),
        ),
        Dimension("tapes", "tapes", "12 tapes", _spelt((1, "tape|tapes"))),
        Dimension(
            "duration",
            "h",
            "4 h 1 min",
            _spelt(
                (1, "h|hr|hrs|hour|hours"),
                (24, "day|days"),
                (Fraction(1, 60), "min|mins|minute|minutes"),
            ),
            bare_allowed=True,
        ),
        Dimension("minutes", "min", "3 min", _spelt((1, "min|minute|minutes"), (Fraction(1, 60), "s|second|seconds"))),
    )
}
"""Every dimension by name. A short ton is 2,000 lb; a gallon is the US gallon of 231 in³."""
