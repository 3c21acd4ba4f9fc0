"""Reads a quantity from the text that someone wrote. Nothing is guessed: a bare number is an error."""

import difflib
import re
from fractions import Fraction
from functools import cache, lru_cache

from carknocker.quantities.numbers import number_at, plain_marks
from carknocker.quantities.quantity import Quantity, QuantityError
from carknocker.quantities.units import DIMENSIONS, Dimension

MOST_CHARACTERS = 60
_ABSOLUTE_ZERO = Fraction(-45967, 100)
# Parts of one figure that may follow each other: feet and inches, degrees and minutes, pounds and ounces.
_COMPOUND = {"length": ("ft", "in"), "degree of curve": ("°", "'"), "weight": ("lb", "oz")}
# Dimensions whose amount may lie below zero without being marked as signed.
_SIGNED = {"temperature", "temperature difference"}


@lru_cache(maxsize=4096)
def read_quantity(text: str, dimension: str, *, signed: bool = False) -> Quantity:
    """The quantity that `text` says, in the base unit of `dimension`.

    signed: the amount may be below zero (a camber). Raises QuantityError, with what was found, what
    was expected and what to do, for a bare number, an unknown unit, a fraction over zero, anything that is no
    number, or an amount below zero that can't be.
    """
    kind = DIMENSIONS[dimension]
    written = plain_marks(text.strip())
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


def _total(written: str, kind: Dimension) -> tuple[Fraction, str]:
    """The amount and the unit written, one figure or a compound one (`82 ft 6 in`)."""
    negative = written.startswith("-")
    pieces: list[tuple[Fraction, str]] = []
    position = 0
    while position < len(written):
        found = number_at(written, position)
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
    large, small = _COMPOUND.get(kind.name, ("", ""))
    factors = [kind.units.get(unit) for _, unit in pieces]
    if len(pieces) != 2 or not large or factors != [kind.units[large], kind.units[small]]:
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
    word = re.match(r"[^\d\s,;(][^\d,;(]*", rest)
    if word is None:
        if kind.bare_allowed and not rest:
            return "", len(written)
        found = f"`{written}`, a number without a unit" if not rest else f"`{written}`"
        raise QuantityError(found, _expected(kind), remedy=f"write the unit, as in `{kind.example}`")
    unknown = word.group().strip()
    if unknown.lower() in {"nan", "inf", "infinity"} or re.match(r"e[+-]?$|e[+-]?\d", rest, re.IGNORECASE):
        raise QuantityError(f"`{written}`", _expected(kind), remedy="write the figure out, with its unit")
    near = difflib.get_close_matches(unknown, [u for u in kind.units if len(u) > 1], n=1, cutoff=0.6)
    other = next((d.name for d in DIMENSIONS.values() if unknown in d.units and d.name != kind.name), "")
    remark = f", a unit of {other}" if other and not near else ", which is no unit that is read here"
    raise QuantityError(f"the unit `{unknown}` in `{written}`{remark}", _expected(kind), near[0] if near else "")


def _starts_with(rest: str, lowered: str, spelling: str) -> bool:
    # Case matters only where it tells units apart (MΩ, kΩ, L).
    if rest.startswith(spelling):
        return True
    return len(spelling) > 1 and "Ω" not in spelling and lowered.startswith(spelling.lower())


@cache
def _by_length(dimension: str) -> tuple[str, ...]:
    return tuple(sorted(DIMENSIONS[dimension].units, key=len, reverse=True))


def _expected(kind: Dimension) -> str:
    return f"a {kind.name} such as `{kind.example}`"
