"""Numbers as people write them on a sheet: `1 1/16`, `1-1/16`, `7/8`, `171,400`, `26.9875`, `1½`."""

import re
from fractions import Fraction

from carknocker.quantities.quantity import QuantityError

MOST_DIGITS = 15
"""More digits than any gauge or scale gives are refused, so that no text can ask for endless arithmetic."""

_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_WHOLE = r"\d{1,3}(?:,\d{3})+|\d+"
NUMBER = re.compile(
    rf"(?P<sign>[+-]\s*)?(?:(?:(?P<whole>{_WHOLE})(?:\s+|\s*-\s*))?(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    rf"|(?P<decimal>(?:{_WHOLE})(?:\.\d+)?|\.\d+))"
)


def plain_marks(text: str) -> str:
    """The text with printers' signs (−, ⁄, ½, no-break space) replaced by plain ones."""
    text = text.replace("−", "-").replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ").replace("‑", "-")
    for sign, plain in _VULGAR.items():
        if sign in text:
            text = re.sub(rf"(\d)\s*{sign}", rf"\1 {plain}", text).replace(sign, plain)
    return text


def number_at(text: str, start: int) -> tuple[Fraction, int] | None:
    """The number that stands at `start` and where it ends, or None.

    Raises QuantityError for a fraction over zero or a number with too many digits.
    """
    match = NUMBER.match(text, start)
    if match is None:
        return None
    if sum(character.isdigit() for character in match.group()) > MOST_DIGITS:
        raise QuantityError("a number with more digits than any gauge gives", f"at most {MOST_DIGITS} digits")
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
