"""Quantities as people write them: exact, with a unit, or refused in words that help."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carknocker.quantities import DIMENSIONS, Quantity, QuantityError, read_quantity


@pytest.mark.parametrize(
    ("text", "dimension", "amount"),
    [
        ("1 1/16 in", "length", "17/16"),
        ('1-1/16"', "length", "17/16"),
        ("7/8 in", "length", "7/8"),
        ("26.9875 mm", "length", "17/16"),
        ("1½ in", "length", "3/2"),
        ("⅞ in", "length", "7/8"),
        ("1⁄2 in", "length", "1/2"),
        (".080 in", "length", "2/25"),
        ("1,024 in", "length", "1024"),
        ("0 in", "length", "0"),
        ("1 in.", "length", "1"),
        ("5 1/2inches", "length", "11/2"),
        ("2.54 cm", "length", "1"),
        ("0.0254 m", "length", "1"),
        ("2 yd", "length", "72"),
        ("82 ft 6 in", "length", "990"),
        ("82' 6\"", "length", "990"),
        ("82’ 6”", "length", "990"),
        ("6'-5 1/2\"", "length", "155/2"),
        ("57 ft", "length", "684"),
        ("6 ft 5 in", "length", "77"),
        ("1\u00a01/16\u202fin", "length", "17/16"),
        ("171,400 lb", "weight", "171400"),
        ("85.7 tons", "weight", "171400"),
        ("45359.237 kg", "weight", "100000"),
        ("1 tonne", "weight", "100000000/45359.237"),
        ("10 lb 8 oz", "weight", "21/2"),
        ("1 short ton", "weight", "2000"),
        ("110 psi", "pressure", "110"),
        ("110 pounds per square inch", "pressure", "110"),
        ("3 psi/min", "pressure per minute", "3"),
        ("3 psi per minute", "pressure per minute", "3"),
        ("3 psi a minute", "pressure per minute", "3"),
        ("40 mph", "speed", "40"),
        ("40 miles per hour", "speed", "40"),
        ("1.609344 km/h", "speed", "1"),
        ("170 °F", "temperature", "170"),
        ("100 °C", "temperature", "212"),
        ("-40 °C", "temperature", "-40"),
        ("-40 °F", "temperature", "-40"),
        ("50 °C", "temperature difference", "90"),
        ("50 K", "temperature difference", "90"),
        ("-10 °F", "temperature difference", "-10"),
        ("212 miles", "distance", "212"),
        ("1 mile", "distance", "1"),
        ("1.609344 km", "distance", "1"),
        ("2640 ft", "distance", "1/2"),
        ("70 %", "ratio", "7/10"),
        ("70 percent", "ratio", "7/10"),
        ("0.7", "ratio", "7/10"),
        ("7/10", "ratio", "7/10"),
        ("10°", "degree of curve", "10"),
        ("10° 30'", "degree of curve", "21/2"),
        ("12 deg", "degree of curve", "12"),
        ("2 qt", "volume", "1/2"),
        ("1 gal", "volume", "1"),
        ("3.785411784 L", "volume", "1"),
        ("8 pints", "volume", "1"),
        ("2 megohm", "resistance", "2000000"),
        ("4.5 MΩ", "resistance", "4500000"),
        ("1 kΩ", "resistance", "1000"),
        ("5 ohms", "resistance", "5"),
        ("5 \u2126", "resistance", "5"),
        ("5 k\u2126", "resistance", "5000"),
        ("4.5 M\u2126", "resistance", "4500000"),
        ("2 Mohm", "resistance", "2000000"),
        ("2 Mohms", "resistance", "2000000"),
        ("2 MOHM", "resistance", "2000000"),
        ("2 megaohm", "resistance", "2000000"),
        ("2 MegaOhms", "resistance", "2000000"),
        ("2 MEGOHMS", "resistance", "2000000"),
        ("2 Kohm", "resistance", "2000"),
        ("110 PSI", "pressure", "110"),
        ("110 PSI/MIN", "pressure per minute", "110"),
        ("25.4 MM", "length", "1"),
        ("170 °f", "temperature", "170"),
        ("0.45359237 KG", "weight", "1"),
        ("2 LB", "weight", "2"),
        ("2 Mi", "distance", "2"),
        ("3 Tons", "weight", "6000"),
        ("12 tapes", "tapes", "12"),
        ("1/2 tape", "tapes", "1/2"),
        ("90 s", "minutes", "3/2"),
        ("3 minutes", "minutes", "3"),
        ("7/8 IN", "length", "7/8"),
        ("40 MPH", "speed", "40"),
    ],
)
def test_a_figure(text: str, dimension: str, amount: str) -> None:
    over, _, under = amount.partition("/")
    wanted = Fraction(over) / Fraction(under or "1")
    assert read_quantity(text, dimension) == Quantity.of(dimension, wanted)
    assert read_quantity(f"  {text} ", dimension).amount == wanted


def refusal(text: str, dimension: str) -> QuantityError | None:
    try:
        assert read_quantity(text, dimension).dimension == dimension
    except QuantityError as error:
        return error
    return None


def refused(text: str, dimension: str = "length") -> QuantityError:
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, dimension)
    error = caught.value
    assert error.found
    assert error.expected
    return error


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "nothing"),
        ("   ", "nothing"),
        ("5", "without a unit"),
        ("1 1/16", "without a unit"),
        ("1 1/0 in", "the fraction 1/0"),
        ("nan in", "`nan in`"),
        ("NaN", "`NaN`"),
        ("inf in", "`inf in`"),
        ("1e3 in", "1e3"),
        ("1E-2 in", "1E-2"),
        ("1 x 2 in", "x"),
        ("in", "`in`"),
        ("one in", "`one in`"),
        ("-1 in", "below zero"),
        ("-1/64 in", "below zero"),
        ("−1 in", "below zero"),
        ("1,00 in", "1,00"),
        ("1..5 in", "1..5"),
        ("1.5.5 in", "1.5.5"),
        ("1 in 2", ""),
        ("1 in 2 in", "more than one figure"),
        ("1 in 2 ft", "more than one figure"),
        ("6 ft 13 in", ""),
        ("6 1/2 ft 2 in", ""),
        ("1 1/2 1/2 in", ""),
        ("1 in -", ""),
        ("1//2 in", ""),
        ("12345678901234567890 in", "more digits"),
        ("1" * 61 + " in", "a text of"),
        ("1 in of rust", ""),
        ("1 in\x00", ""),
        ("(1 in)", ""),
        ("²  in", ""),
        ("1 in, about", ""),
        ("0x10 in", ""),
        ("1_000 in", ""),
        ("+-1 in", ""),
        ("7/8 pounds", "a unit of weight"),
        ("3 °F", "a unit of temperature"),
        ("5 furlongs", "no unit that is read here"),
    ],
)
def test_what_is_no_length(text: str, found: str) -> None:
    assert found in refused(text).found


@pytest.mark.parametrize(
    "unit", ["mohm", "mohms", "mOhm", "m\u03a9", "m\u2126", "m ohm", "milliohm", "Milliohms", "milli-ohm"]
)
def test_thousandths_of_an_ohm_are_never_millions(unit: str) -> None:
    error = refused(f"2 {unit}", "resistance")
    assert error.found == f"the unit `{unit}` in `2 {unit}`, which says thousandths of an ohm"
    assert (error.nearest, error.remedy) == ("", "write `megohm` for millions of ohms, `ohm` for ohms")


def test_no_unit_is_another_one_in_small_or_capitals() -> None:
    for dimension in DIMENSIONS.values():
        for unit, factor in dimension.units.items():
            for text in (unit.lower(), unit.upper(), unit.swapcase()):
                try:
                    found = read_quantity(f"3 {text}", dimension.name)
                except QuantityError:
                    continue
                assert found.amount == 3 * factor + dimension.offsets.get(unit, 0), text
                assert not (unit.startswith("M") and text.startswith("m")), text


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("2 M", "length"), ("20 t", "weight"), ("20 T", "weight"), ("2 Mg", "weight"),
        ("2 mg", "weight"), ("0.7 MPa", "pressure"), ("0.7 mPa", "pressure"), ("0.7 hPa", "pressure"),
        ("7 mbar", "pressure"), ("20 f", "temperature"), 
        ("20 c", "temperature"), ("20 k", "temperature difference"), ("2 S", "minutes"), ("2 M ohm", "length"),
    ],
)  # fmt: skip
def test_a_symbol_that_could_be_another_unit_is_refused_and_none_is_offered(text: str, dimension: str) -> None:
    assert refused(text, dimension).nearest == ""


@pytest.mark.parametrize(
    ("text", "what", "remedy"),
    [
        ("1,00 in", "whose comma does not stand before three digits", "a point before decimals"),
        ("0,5 in", "whose comma stands after a zero and parts no thousands", "a point before decimals"),
        ("0,625 in", "whose comma stands after a zero and parts no thousands", "a point before decimals"),
        ("1,234,5 in", "whose comma does not stand before three digits", "a point before decimals"),
        ("1 16 in", "which has two numbers and no fraction", "with `/`, as in `1 1/16`"),
        ("1-16 in", "which has two numbers and no fraction", "with `/`, as in `1 1/16`"),
        ("1 - 16 in", "which has two numbers and no fraction", "with `/`, as in `1 1/16`"),
        ("1/16/2 in", "whose number can't be read", "one number"),
        ("1.0.0 in", "whose number can't be read", "one number"),
        ("1;5 in", "whose number can't be read", "one number"),
    ],
)
def test_what_is_wrong_with_the_number(text: str, what: str, remedy: str) -> None:
    error = refused(text)
    assert error.found == f"`{text}`, {what}"
    assert remedy in error.remedy
    assert "unit" not in error.found + error.remedy


@pytest.mark.parametrize(
    ("text", "meant"),
    [("0,625 in", "0.625 in"), ("0,5 in", "0.5 in"), ("00,625 in", "0.625 in"), ("0,625,000 in", "")],
)
def test_a_comma_after_a_leading_zero_is_no_thousands_mark(text: str, meant: str) -> None:
    assert refused(text).nearest == meant


def test_a_comma_after_another_digit_parts_thousands() -> None:
    assert read_quantity("1,625 in", "length").n == 1625
    assert read_quantity("10,625 lb", "weight").n == 10625


def test_the_nearest_unit() -> None:
    assert refused("1 inchs").nearest in ("inch", "inches")
    assert refused("3 mhp", "speed").nearest == "mph"
    assert refused("3 millimetres", "weight").nearest == ""
    assert refused("5").remedy == "write the unit, as in `1 1/16 in`"


def test_below_zero_only_where_it_means_something() -> None:
    assert read_quantity("-1/4 in", "length", signed=True).amount == Fraction(-1, 4)
    assert read_quantity("−1-1/4 in", "length", signed=True).amount == Fraction(-5, 4)
    assert read_quantity("-1 ft 2 in", "length", signed=True).amount == -14
    assert read_quantity("+1/4 in", "length").amount == Fraction(1, 4)
    assert "absolute zero" in refused("-300 °C", "temperature").found
    assert "below zero" in refused("-1 psi", "pressure").found


def test_a_bare_number_is_a_ratio_or_hours_and_nothing_else() -> None:
    for dimension in DIMENSIONS:
        if dimension in ("ratio", "duration"):
            assert read_quantity("0.5", dimension).amount == Fraction(1, 2)
        else:
            assert "without a unit" in refused("0.5", dimension).found


def test_every_example_is_read() -> None:
    for dimension in DIMENSIONS.values():
        assert read_quantity(dimension.example, dimension.name).dimension == dimension.name


def test_every_spelling_is_read() -> None:
    for dimension in DIMENSIONS.values():
        for unit, factor in dimension.units.items():
            for text in (f"3 {unit}", f"3{unit}"):
                found = read_quantity(text, dimension.name)
                assert found.amount == 3 * factor + dimension.offsets.get(unit, 0), text
                assert found.unit == unit or dimension.units[found.unit] == factor, text


def test_quantities_compare_exactly_and_only_with_their_like() -> None:
    limit, reading = read_quantity("7/8 in", "length"), read_quantity("22.225 mm", "length")
    assert limit == reading
    assert hash(limit) == hash(reading)
    assert not limit < reading
    assert limit <= reading
    assert read_quantity("22.226 mm", "length") > limit
    assert limit >= reading
    assert limit.plus(reading).amount == Fraction(7, 4)
    assert read_quantity("100 °C", "temperature").minus(read_quantity("0 °C", "temperature")) == Quantity.of(
        "temperature difference", 180
    )
    with pytest.raises(TypeError):
        _ = limit < read_quantity("1 lb", "weight")
    assert limit != Quantity.of("weight", Fraction(7, 8))


@given(st.text(alphabet="0123456789 ./,-'\"½°inftlbmpsh²٣eE+\u00a0", max_size=20), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_a_quantity_or_refused(text: str, dimension: str) -> None:
    error = refusal(text, dimension)
    if error is not None:
        assert error.found
