"""What work costs and how long it takes: `format: carknocker-prices/1`, a file that the owner may keep beside the car.

No price is built in: what the file does not price is called unpriced.
"""

import re
from fractions import Fraction
from pathlib import Path

import msgspec

from carknocker.documents import (
    InputRefused,
    Location,
    Node,
    Problem,
    ProblemList,
    ProblemReporter,
    load_text,
    read_document,
    some,
)
from carknocker.quantities import QuantityError, read_period
from carknocker.vocabulary import load_vocabulary

FORMAT = "carknocker-prices/1"
_NUMBER = re.compile(r"\d{1,3}(,\d{3})*(\.\d{1,6})?|\d{1,12}(\.\d{1,6})?")
_KEYS = ("cost", "hours", "days", "lead", "parts")
_SECTIONS = ("work", "tests", "spares", "papers")
_TOP = ("format", "currency", "hours_in_a_day", *_SECTIONS)
_MOST_DAYS = 3660


class _PricesReporter(ProblemReporter, frozen=True):
    """Where problems are reported."""


class Price(msgspec.Struct, frozen=True):
    """cost, hours: None if the file does not say. days: that it takes; None: worked out from the hours. lead: days
    until it can begin (a shop's queue) or, for a spare, until it arrives; None if the file does not say. parts: spares
    that the work uses up."""

    cost: Fraction | None = None
    hours: Fraction | None = None
    days: int | None = None
    lead: int | None = None
    parts: tuple[str, ...] = ()


_NONE = Price()


class Prices(msgspec.Struct, frozen=True):
    """The prices of work, tests, spares and papers by name. currency: as the file names it."""

    work: dict[str, Price] = {}
    tests: dict[str, Price] = {}
    spares: dict[str, Price] = {}
    papers: dict[str, Price] = {}
    currency: str = ""
    hours_in_a_day: Fraction = Fraction(8)
    file: str = ""

    def days_of(self, price: Price) -> int:
        """The days that something takes: as stated, else from its hours, else one."""
        if price.days is not None:
            return price.days
        return 1 if price.hours is None else max(-(-price.hours // self.hours_in_a_day), 1)

    def of_work(self, name: str) -> Price:
        """The price of a work; all unknown where the file has none."""
        return self.work.get(name, _NONE)


def read_prices(path: Path) -> Prices:
    """The prices in a file. Raises InputRefused with every problem."""
    problems = ProblemList()
    text = load_text(path, problems)
    problems.refuse_if_any()
    return read_prices_text(text or "", str(path))


def read_prices_text(text: str, file: str) -> Prices:
    """The prices in a text. file: the name that messages give it. Raises InputRefused with every problem."""
    problems = ProblemList()
    root = read_document(text, file, problems)
    problems.refuse_if_any()
    reporter = _PricesReporter(problems)
    if root is None or root.kind != "mapping":
        begins = f"a file that begins with `format: {FORMAT}`"
        raise InputRefused((Problem(Location(file, 1, 1), "no mapping of prices", begins),))
    if reporter.text(root.get("format"), "format") != FORMAT:
        reporter.note(root.get("format") or root, "a file of another format", f"`format: {FORMAT}`")
    for key in root.keys():
        if key not in _TOP:
            reporter.unknown_key(root, key, _TOP, "a file of prices")
    vocabulary = load_vocabulary()
    known = {
        "work": tuple(vocabulary.work), "tests": tuple(vocabulary.tests), "spares": tuple(vocabulary.spares),
        "papers": tuple(vocabulary.papers),
    }  # fmt: skip
    read = {
        section: _section(root.get(section), section, known[section], known["spares"], reporter) for section in known
    }
    hours = _number(root.get("hours_in_a_day"), reporter)
    if hours is not None and not 0 < hours <= 24:
        reporter.note(root.get("hours_in_a_day") or root, "hours of no day", "over 0, at most 24")
        hours = None
    currency = reporter.text(root.get("currency"), "currency")
    problems.refuse_if_any()
    return Prices(
        read["work"], read["tests"], read["spares"], read["papers"], currency,
        Fraction(8) if hours is None else hours, file,
    )  # fmt: skip


def _section(
    node: Node | None, section: str, known: tuple[str, ...], spares: tuple[str, ...], reporter: ProblemReporter
) -> dict[str, Price]:
    if node is None or node.is_empty:
        return {}
    if node.kind != "mapping":
        reporter.note(node, node.describe(), f"{section}: a mapping of names to prices")
        return {}
    found: dict[str, Price] = {}
    for name, where, value in node.items():
        if reporter.is_known(where, name, known, section.removesuffix("s")):
            found[name] = _price(value, name, spares, reporter)
    return found


def _price(node: Node, name: str, spares: tuple[str, ...], reporter: ProblemReporter) -> Price:
    if node.kind != "mapping":
        reporter.note(node, node.describe(), f"{name}: a mapping with {some(_KEYS)}")
        return _NONE
    for key in node.keys():
        if key not in _KEYS:
            reporter.unknown_key(node, key, _KEYS, f"the price of {name}")
    parts = node.get("parts")
    names = (
        () if parts is None or parts.is_empty else tuple(reporter.text(one, "a spare") for one in parts.as_sequence())
    )
    for one in names:
        reporter.is_known(parts or node, one, spares, "spare")
    days = _days(node.get("days"), reporter)
    return Price(_number(node.get("cost"), reporter), _number(node.get("hours"), reporter), days,
                 _days(node.get("lead"), reporter), names)  # fmt: skip


def _number(node: Node | None, reporter: ProblemReporter) -> Fraction | None:
    text = reporter.text(node, "a number")
    if node is None or not text:
        return None
    if not _NUMBER.fullmatch(text):
        reporter.note(node, f"`{text[:40]}`", "a number from 0 up, such as 1,200 or 7.5")
        return None
    return Fraction(text.replace(",", ""))


def _days(node: Node | None, reporter: ProblemReporter) -> int | None:
    text = reporter.text(node, "days")
    if node is None or not text:
        return None
    try:
        period = read_period(text)
    except QuantityError as error:
        reporter.note_error(node, error)
        return None
    days = period.days + 30 * period.months
    if not 0 <= days <= _MOST_DAYS:
        reporter.note(node, f"`{text[:40]}`", f"0 to {_MOST_DAYS:,} days")
        return None
    return days
