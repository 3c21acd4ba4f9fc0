"""Reads a quantity from the text that someone wrote: `1 1/16 in`, `1-1/16"`, `82 ft 6 in`, `171,400 lb`, `1½ in`.

Nothing is guessed: a number without a unit is an error.
"""

import difflib
import re
from fractions import Fraction
from functools import cache, lru_cache

from carknocker.quantities.quantity import Quantity, QuantityError
from carknocker.quantities.units import DIMENSIONS, FIRST_LETTER_TELLS, Dimension

MOST_CHARACTERS = 60
_LONGEST_SYMBOL = 4
_OHM_SIGNS = "\u03a9\u2126"  # the Greek letter, and the ohm sign that looks the same
_MILLIOHM = re.compile(rf"(?:m|(?i:milli))[ -]?(?:(?i:ohms?)|[{_OHM_SIGNS}])")
_ABSOLUTE_ZERO = Fraction(-45967, 100)
# Parts of one figure that may follow each other: feet and inches, degrees and minutes, pounds and ounces.
_COMPOUND = {
    "length": (("ft", "in"),),
    "degree of curve": (("°", "'"),),
    "weight": (("lb", "oz"),),
    "duration": (("h", "min"), ("day", "h")),
    "minutes": (("min", "s"),),
}
# Dimensions whose amount may lie below zero without being marked as signed.
_SIGNED = {"temperature", "temperature difference"}

_MOST_DIGITS = 15
"""More digits than any gauge or scale gives are refused, so that no text can ask for endless arithmetic."""

_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_WHOLE = r"[1-9]\d{0,2}(?:,\d{3})+|\d+"  # a comma after a leading zero parts no thousands
_NUMBER = re.compile(
    rf"(?P<sign>[+-]\s*)?(?:(?:(?P<whole>{_WHOLE})(?:\s+|\s*-\s*))?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    rf"|(?P<decimal>(?:{_WHOLE})(?:\.\d+)?|\.\d+))"
)


@lru_cache(maxsize=4096)
def read_quantity(text: str, dimension: str, *, signed: bool = False) -> Quantity:
    """The quantity that `text` says, in the base unit of `dimension`.

    signed: the amount may be below zero (a camber). Raises QuantityError, with what was found, what
    was expected and what to do, for a bare number, an unknown unit, a fraction over zero, anything that is no
    number, or an amount below zero that can't be.
    """
    kind = DIMENSIONS[dimension]
    written = _plain_marks(text.strip())
    if not written:
        raise QuantityError("nothing", _expected(kind))
    if len(written) > MOST_CHARACTERS:
        raise QuantityError(f"a text of {len(written)} characters", _expected(kind))
    amount, unit = _total(written, kind)
    if kind.name == "temperature" and amount < _ABSOLUTE_ZERO:
        raise QuantityError(f"{text.strip()}, which is below absolute zero", _expected(kind))
    if amount < 0 and not signed and kind.name not in _SIGNED:
        raise QuantityError(f"{text.strip()}, which is below zero", f"a {kind.name} of zero or more")
    return Quantity.of(dimension, amount, unit)


def _plain_marks(text: str) -> str:
    """The text with printers' signs (−, ⁄, ½, no-break space) replaced by plain ones."""
    text = text.replace("−", "-").replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ").replace("‑", "-")
    for sign, plain in _VULGAR.items():
        if sign in text:
            text = re.sub(rf"(\d)\s*{sign}", rf"\1 {plain}", text).replace(sign, plain)
    return text


def _number_at(text: str, start: int) -> tuple[Fraction, int] | None:
    """The number that stands at `start` and where it ends, or None.

    Raises QuantityError for a fraction over zero or a number with too many digits.
    """
    match = _NUMBER.match(text, start)
    if match is None:
        return None
    if sum(character.isdigit() for character in match.group()) > _MOST_DIGITS:
        raise QuantityError("a number with more digits than any gauge gives", f"at most {_MOST_DIGITS} digits")
    if match["over"] is not None:
        under = int(match["under"])
        if under == 0:
            raise QuantityError(f"the fraction {match['over']}/{match['under']}", "a fraction that is not over zero")
        whole = int((match["whole"] or "0").replace(",", ""))
        amount = Fraction(whole * under + int(match["over"]), under)
    else:
        decimal = match["decimal"].replace(",", "")
        amount = Fraction(int(decimal)) if decimal.isdigit() else Fraction(decimal)
    return (-amount if (match["sign"] or "").startswith("-") else amount), match.end()


def _total(written: str, kind: Dimension) -> tuple[Fraction, str]:
    """The amount and the unit written, one figure or a compound one (`82 ft 6 in`)."""
    negative = written.startswith("-")
    pieces: list[tuple[Fraction, str]] = []
    position = 0
    while position < len(written):
        found = _number_at(written, position)
        if found is None:
            raise QuantityError(f"`{written}`", _expected(kind))
        number, position = found
        if pieces and number < 0:  # 6'-5 1/2": the hyphen joins, it does not subtract
            number = -number
        unit, position = _unit_at(written, position, kind)
        pieces.append((number, unit))
        while position < len(written) and written[position] in " -":
            if written[position] == "-" and not written[position + 1 : position + 2].strip():
                raise QuantityError(f"`{written}`", _expected(kind))
            position += 1
    if len(pieces) == 1:
        number, unit = pieces[0]
        factor = kind.units[unit] if unit else Fraction(1)
        return number * factor + kind.offsets.get(unit, Fraction(0)), unit
    return _compound(written, pieces, kind, negative), pieces[0][1]


def _compound(written: str, pieces: list[tuple[Fraction, str]], kind: Dimension, negative: bool) -> Fraction:
    factors = [kind.units.get(unit) for _, unit in pieces]
    pairs = _COMPOUND.get(kind.name, ())
    large, small = next(((one, two) for one, two in pairs if factors == [kind.units[one], kind.units[two]]), ("", ""))
    if not large:
        raise QuantityError(f"`{written}`, which is more than one figure", _expected(kind))
    (first, first_unit), (second, second_unit) = pieces
    if abs(first).denominator != 1 or second * kind.units[second_unit] >= kind.units[first_unit]:
        raise QuantityError(f"`{written}`", f"a whole number of {large}, then less than one {large} in {small}")
    total = abs(first) * kind.units[first_unit] + second * kind.units[second_unit]
    return -total if negative else total


def _unit_at(written: str, position: int, kind: Dimension) -> tuple[str, int]:
    rest = written[position:].lstrip(" ")
    if rest in kind.units:
        return rest, len(written)
    start = len(written) - len(rest)
    lowered = rest.lower()
    for spelling in _by_length(kind.name):
        if _starts_with(rest, lowered, spelling):
            end = start + len(spelling)
            following = written[end : end + 1]
            if not (spelling[-1].isalpha() and following.isalpha()):
                return spelling, end
    if rest[:1] and rest[0] in "0123456789,;-./":
        raise _no_number(written, rest, kind)
    word = re.match(r"[^\d\s,;(][^\d,;(]*", rest)
    if word is None:
        if kind.bare_allowed and not rest:
            return "", len(written)
        found = f"`{written}`, a number without a unit" if not rest else f"`{written}`"
        raise QuantityError(found, _expected(kind), remedy=f"write the unit, as in `{kind.example}`")
    unknown = word.group().strip()
    if unknown.lower() in {"nan", "inf", "infinity"} or re.match(r"e[+-]?$|e[+-]?\d", rest, re.IGNORECASE):
        raise QuantityError(f"`{written}`", _expected(kind), remedy="write the figure out, with its unit")
    if kind.name == "resistance" and _MILLIOHM.fullmatch(unknown):
        found = f"the unit `{unknown}` in `{written}`, which says thousandths of an ohm"
        raise QuantityError(found, _expected(kind), remedy="write `megohm` for millions of ohms, `ohm` for ohms")
    near = [
        unit
        for unit in difflib.get_close_matches(unknown, [u for u in kind.units if len(u) > 1], n=1, cutoff=0.6)
        if not _differ_by_prefix(unknown, unit)
    ]
    other = next((d.name for d in DIMENSIONS.values() if unknown in d.units and d.name != kind.name), "")
    remark = f", a unit of {other}" if other and not near else ", which is no unit that is read here"
    raise QuantityError(f"the unit `{unknown}` in `{written}`{remark}", _expected(kind), near[0] if near else "")


def _no_number(written: str, rest: str, kind: Dimension) -> QuantityError:
    """What is wrong with a number that does not end where its unit should begin."""
    if re.match(r",\d", rest) and re.fullmatch(r"[+-]?0+", written.removesuffix(rest).strip()):
        found = f"`{written}`, whose comma stands after a zero and parts no thousands"
        near = re.sub(r"^([+-]?)0+,", r"\g<1>0.", written) if written.count(",") == 1 else ""
        return QuantityError(found, _expected(kind), near, "write a point before decimals")
    if re.match(r",\s*\d", rest):
        found = f"`{written}`, whose comma does not stand before three digits"
        return QuantityError(
            found, _expected(kind), remedy="write a point before decimals; a comma parts thousands only"
        )
    if re.match(r"-?\s*\d", rest):
        found = f"`{written}`, which has two numbers and no fraction"
        return QuantityError(
            found, _expected(kind), remedy="write a fraction with `/`, as in `1 1/16`, or one number only"
        )
    return QuantityError(f"`{written}`, whose number can't be read", _expected(kind), remedy="write one number")


def _differ_by_prefix(unknown: str, unit: str) -> bool:
    """Whether two units differ in their first letter only (MPa and kPa, mbar and bar). One is never suggested for the
    other, since that would change the figure."""
    rest = unknown[1:].lower()
    return rest in (unit.lower(), unit[1:].lower()) and len(unknown) <= _LONGEST_SYMBOL


def _starts_with(rest: str, lowered: str, spelling: str) -> bool:
    # Case matters only where it tells units apart (MΩ, kΩ, Mohm, L).
    if rest.startswith(spelling):
        return True
    if spelling in FIRST_LETTER_TELLS and rest[:1] != spelling[0]:
        return False
    return len(spelling) > 1 and spelling[-1] not in _OHM_SIGNS and lowered.startswith(spelling.lower())


@cache
def _by_length(dimension: str) -> tuple[str, ...]:
    return tuple(sorted(DIMENSIONS[dimension].units, key=len, reverse=True))


def _expected(kind: Dimension) -> str:
    return f"a {kind.name} such as `{kind.example}`"
