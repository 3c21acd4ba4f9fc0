"""Every form of a value: what it says, what the gauge resolves, and that one form at a time is read."""

from fractions import Fraction

import pytest
from record_samples import CAR, car, changed, problem_at_mark

from carknocker.quantities import Period, Quantity
from carknocker.record.model import Evidence
from carknocker.record.value_words import value_words
from carknocker.record.values import (
    Bound,
    Count,
    Day,
    Figure,
    NotAccessible,
    Opinion,
    PressureDrop,
    Value,
    Word,
    Words,
)


def inches(amount: str) -> Quantity:
    return Quantity.of("length", Fraction(amount), "in")


def reading(section: str, name: str, value: str, gauge: str = "G-2") -> Evidence:
    """The reading of an attribute that a value is written for, on a sheet of its own."""
    where = section if section in ("brake_system", "body", "underframe", "car") else ""
    inner = f"{{{name}: {value}}}" if where else f"{{{POSITIONS[section]}: {{{name}: {value}}}}}"
    sheet = f"  - {{on: 2026-06-20, by: HM, gauge: {gauge}, readings: {{{section}: {inner}}}}}\nevents:\n"
    found = [one for one in car(changed("events:\n", sheet)).evidence if one.attribute == name and one.on is not None]
    return next(one for one in found if one.on.isoformat() == "2026-06-20")


POSITIONS = {"wheels": "L1", "bearings": "R1", "axles": "2", "trucks": "A", "couplers": "B"}
UP_TO = Bound(None, False, inches("7/8"), False)
OVER = Bound(inches("7/8"), True, None, False)
TAKES = Bound(None, False, inches("7/8"), False, go_or_no_go=True)
DOES_NOT_TAKE = Bound(inches("7/8"), True, None, False, go_or_no_go=True)


@pytest.mark.parametrize(
    ("section", "name", "value", "expected"),
    [
        ("wheels", "flange_thickness", "1 1/16 in", Figure(inches("17/16"))),
        ("wheels", "flange_thickness", "26.9875 mm", Figure(inches("17/16"))),
        ("wheels", "flange_thickness", "{reads: 15/16 in, gauge: G-5}", Figure(inches("15/16"))),
        ("wheels", "flange_thickness", "{gauge: G-5, takes_at: 7/8 in}", TAKES),
        ("wheels", "flange_thickness", "{gauge: G-5, does_not_take_at: 7/8 in}", DOES_NOT_TAKE),
        ("wheels", "flange_thickness", "{gauge: G-5, over: 7/8 in}", DOES_NOT_TAKE),  # no other gauge tells it
        ("wheels", "flange_height", "{gauge: G-5, takes_at: 1-1/2 in}", Bound(inches("3/2"), False, None, False, True)),
        (
            "wheels",
            "flange_height",
            "{gauge: G-5, does_not_take_at: 1-1/2 in}",
            Bound(None, False, inches("3/2"), True, True),
        ),
        ("wheels", "flange_thickness", "{over: 7/8 in}", OVER),
        ("wheels", "flange_thickness", "{at_most: 7/8 in}", UP_TO),
        (
            "wheels",
            "flange_thickness",
            "{at_least: 7/8 in, under: 1 in}",
            Bound(inches("7/8"), False, inches("1"), True),
        ),
        ("wheels", "thermal_crack", "no", Word("no")),
        ("wheels", "thermal_crack", "true", Word("yes")),
        (
            "wheels",
            "flange_thickness",
            "not accessible (car not moved, shoe on)",
            NotAccessible("car not moved, shoe on"),
        ),
        ("bearings", "seal", "wet", Word("wet")),
        ("bearings", "seal", "{opinion: wet, says: damp at the hub}", Opinion("wet", "damp at the hub")),
        ("bearings", "cap_screws_loose_or_missing", "2", Count(2)),
        ("bearings", "running_temperature", "100 °C", Figure(Quantity.of("temperature", 212))),
        ("bearings", "detector_above_ambient", "50 °C", Figure(Quantity.of("temperature difference", 90))),
        ("underframe", "body_camber", "-1/4 in", Figure(inches("-1/4"))),
        ("car", "gross_weight", "85.7 tons", Figure(Quantity.of("weight", 171_400))),
        ("brake_system", "brake_pipe_leakage", "3 psi/min", Figure(Quantity.of("pressure per minute", 3))),
        ("brake_system", "brake_maintenance_place", "12:30 shop", Word("12:30 shop")),
    ],
)
def test_a_form(section: str, name: str, value: str, expected: Value) -> None:
    if "," in value and "(" in value:
        value = f'"{value}"'
    assert reading(section, name, value).value == expected


def test_a_day_a_month_a_year() -> None:
    for text, first, last in (("2024-02", "2024-02-01", "2024-02-29"), ("2024", "2024-01-01", "2024-12-31")):
        day = reading("brake_system", "brake_maintenance_done_on", text).value
        assert isinstance(day, Day)
        assert (day.first.isoformat(), day.last.isoformat(), day.written) == (first, last, text)


def test_a_drop_of_pressure_is_an_exact_rate() -> None:
    for wait in ("3", "3 min", "180 s"):
        drop = reading(
            "brake_system", "brake_pipe_leakage", f"{{before: 90 psi, after: 88 psi, minutes: {wait}}}", "P-1"
        )
        assert isinstance(drop.value, PressureDrop)
        assert drop.value.per_minute.amount == Fraction(2, 3)
        assert drop.resolution == Quantity.of("pressure per minute", Fraction(1, 3))


def test_yaml_has_no_say_in_what_a_value_is() -> None:
    text = changed("name: Tern,", "name: no, widest_thing: 010, highest_thing: 12:30,")
    record = car(text)
    words = {one.attribute: one.value for one in record.evidence if one.part == "car"}
    assert record.name == "no"
    assert words["widest_thing"] == Word("010")
    assert words["highest_thing"] == Word("12:30")


@pytest.mark.parametrize(
    ("gauge", "value", "resolution"),
    [
        ("G-2", "1 in", "1/16"), ("G-5", "1 in", "1/16"), ("P-1", "1 in", "1/16"),
        ("G-5", "{reads: 1 in, gauge: G-2}", "1/16"), ("G-5", "{takes_at: 1 in}", ""),
        ("G-5", "{over: 1 in}", ""), ("G-2", "{over: 1 in}", "1/16"), ("", "{over: 1 in}", "1/16"),
        ("", "{takes_at: 1 in}", ""),
        ("G-2", "not accessible (mud)", ""),
    ],
)  # fmt: skip
def test_what_the_gauge_resolves(gauge: str, value: str, resolution: str) -> None:
    found = reading("wheels", "flange_thickness", value, gauge).resolution
    assert found == (inches(resolution) if resolution else None)


@pytest.mark.parametrize(
    ("gauge", "section", "name", "value", "named", "lacks"),
    [
        ("G-2", "wheels", "flange_thickness", "1 in", "G-2", False),
        ("", "wheels", "flange_thickness", "1 in", "", True),
        ("", "wheels", "flange_thickness", "{over: 1 in}", "", True),
        ("", "wheels", "flange_thickness", "{reads: 1 in, gauge: G-5}", "G-5", False),
        ("", "wheels", "flange_thickness", "not accessible (mud)", "", False),
        ("G-2", "couplers", "coupler_height", "33 in", "G-2", True),
        ("R-1", "couplers", "coupler_height", "33 in", "R-1", False),  # a rule reads it too
        ("R-1", "wheels", "flange_thickness", "1 in", "R-1", True),
        ("X-1", "couplers", "coupler_height", "33 in", "X-1", False),  # a kind that nobody knows may read anything
        ("", "couplers", "lever_length", "46 in", "", False),
        ("R-1", "couplers", "lever_length", "46 in", "R-1", False),
        ("G-2", "couplers", "lever_length", "46 in", "", False),
        ("G-2", "wheels", "thermal_crack", "no", "", False),  # no gauge tells a crack
    ],
)
def test_which_gauge_showed_a_value(gauge: str, section: str, name: str, value: str, named: str, lacks: bool) -> None:
    record = changed("gauges:\n", "gauges:\n  R-1: {kind: rule}\n  X-1: {kind: a gauge of ours}\n")
    position = POSITIONS[section]
    head = "on: 2026-06-20, by: HM" + (f", gauge: {gauge}" if gauge else "")
    sheet = f"  - {{{head}, readings: {{{section}: {{{position}: {{{name}: {value}}}}}}}}}\nevents:\n"
    found = car(changed("events:\n", sheet, record)).evidence
    one = next(one for one in found if one.attribute == name and str(one.on) == "2026-06-20")
    assert ("" if one.gauge is None else one.gauge.name) == named
    assert one.ungauged is lacks


@pytest.mark.parametrize(
    ("said", "resolution"), [("finger gauge, reads_to: 1/16 in", "1/16"), ("finger gauge", "1/8"), ("our own", "1/8")]
)
def test_a_gauge_that_does_not_say_what_it_reads_to_resolves_what_the_coarsest_does(said: str, resolution: str) -> None:
    """Of its kind; of a kind that nobody knows, the coarsest of those that read such a thing."""
    text = changed("finger gauge, reads_to: 1/16 in", said)
    sheet = "  - {on: 2026-06-20, by: HM, gauge: G-2, readings: {wheels: {R1: {flange_thickness: 1 in}}}}\nevents:\n"
    (one,) = [one for one in car(changed("events:\n", sheet, text)).evidence if str(one.on) == "2026-06-20"]
    assert one.resolution == inches(resolution)


def test_a_figure_gauge_does_not_say_take_or_not() -> None:
    for answer in ("takes_at", "does_not_take_at"):
        for gauge in ("", ", gauge: G-2"):
            said = f"L1: {{flange_thickness: {{«{answer}: 7/8 in{gauge}}}"
            found = problem_at_mark("L1: {flange_thickness: 15/16 in", said)
            assert "a finger gauge" in found.found
            assert "gauge: NAME" in found.expected


def test_the_own_uncertainty_of_a_gauge_is_in_a_bound_read_with_it_and_in_no_answer_of_a_go_no_go_gauge() -> None:
    assert reading("wheels", "flange_thickness", "{over: 1 in}", "G-2").gauge_uncertainty == inches("1/64")
    assert reading("wheels", "flange_thickness", "{over: 1 in}", "G-5").gauge_uncertainty is None
    assert value_words(OVER) == "over 7/8 in"
    assert value_words(DOES_NOT_TAKE) == "over 7/8 in by go/no-go gauge"


def test_the_uncertainty_of_a_gauge_is_added_to_what_it_resolves() -> None:
    text = changed("reads_to: 1/16 in,", "reads_to: 1/16 in, uncertainty: 1/128 in,")
    text = changed("reads_to: 1 psi}", "reads_to: 1 psi, uncertainty: 0.5 psi}", text)
    sheet = (
        "  - {on: 2026-06-20, by: HM, gauge: G-2, readings: {wheels: {R1: {flange_thickness: 1 in}}, brake_system: "
        "{brake_pipe_leakage: {before: 90 psi, after: 88 psi, minutes: 2, gauge: P-1}}}}\nevents:\n"
    )
    found = {
        one.attribute: one.uncertainty
        for one in car(changed("events:\n", sheet, text)).evidence
        if one.on is not None and one.on.isoformat() == "2026-06-20"
    }
    assert found == {
        "flange_thickness": inches("9/128"),
        "brake_pipe_leakage": Quantity.of("pressure per minute", Fraction(3, 4)),
    }


@pytest.mark.parametrize(
    ("gauge", "name", "left_open"),
    [
        ("G-2: {kind: finger gauge, reads_to: 1/16 in}", "wheels: {R1: {flange_thickness: 1 in", "5/64"),
        ("G-2: {kind: finger gauge, reads_to: 1/16 in, uncertainty: 1/32 in, sure: worn}",
         "wheels: {R1: {flange_thickness: 1 in", "3/32"),
        ("G-2: {kind: our own, reads_to: 1/16 in}", "wheels: {R1: {flange_thickness: 1 in", "1/8"),
        ("G-2: {kind: rule, reads_to: 1/16 in}", "couplers: {B: {coupler_height: 33 in", "1/16"),
        ("G-2: {kind: coupler height gauge, reads_to: 1/8 in}", "couplers: {B: {coupler_height: 33 in", "3/16"),
    ],
)  # fmt: skip
def test_without_a_stated_uncertainty_the_largest_of_the_kind_counts(gauge: str, name: str, left_open: str) -> None:
    """And a doubt is not excused by what nobody stated."""
    text = changed("G-2: {kind: finger gauge, reads_to: 1/16 in, checked: 2026-03-01, due: 2027-03-01}", gauge)
    sheet = f"  - {{on: 2026-06-20, by: HM, gauge: G-2, readings: {{{name}}}}}}}}}\nevents:\n"
    (one,) = [one for one in car(changed("events:\n", sheet, text)).evidence if str(one.on) == "2026-06-20"]
    assert one.uncertainty == inches(left_open)
    assert one.stated_uncertainty == (one.uncertainty if "sure" in gauge else one.resolution)


def test_an_uncertainty_without_a_unit_is_refused() -> None:
    found = problem_at_mark("reads_to: 1/16 in,", "reads_to: 1/16 in, uncertainty: «0.01,")
    assert "uncertainty" in found.expected


def test_the_gauge_goes_before_the_usual_tool() -> None:
    text = changed("reads_to: 1/16 in", "reads_to: 0.5 mm")
    found = [one.resolution for one in car(text).evidence if one.part == "wheel W-1 left" and one.on is not None]
    assert found == [Quantity.of("length", Fraction(5, 254))] * 2


def test_a_thermometer_resolves_a_difference() -> None:
    text = changed("  P-1: {kind: air gauge, reads_to: 1 psi}", "  P-1: {kind: thermometer, reads_to: 1 °C}")
    sheet = (
        "  - {on: 2026-06-20, by: HM, gauge: P-1, readings: {bearings: {R1: {running_temperature: 40 °C}}}}\nevents:\n"
    )
    found = next(
        one for one in car(changed("events:\n", sheet, text)).evidence if one.attribute == "running_temperature"
    )
    assert found.resolution is not None
    assert found.resolution.amount == Fraction(9, 5)


def test_lists_and_periods() -> None:
    text = changed(
        "{truck_kind: two-axle, axles: {1",
        "{truck_kind: two-axle, connections_to_body: [air hose, brake rod], axles: {1",
    )
    text = changed("events:\n", "events:\n  - {id: E-2, on: 2026-04-03, happened: laid up, days: 3 weeks}\n", text)
    record = car(text)
    assert next(one.value for one in record.evidence if one.attribute == "connections_to_body") == Words(
        ("air hose", "brake rod")
    )
    laid_up = next(one for one in record.work if one.id == "E-2")
    assert getattr(laid_up.facts["days"], "period", None) == Period(days=21)
    assert laid_up.at == ("car",)


def test_what_is_said_of_one_goes_before_what_is_said_of_all() -> None:
    values = {one.part: one.value for one in car().evidence if one.attribute == "class"}
    assert values == {"bearing W-1 left": Word("plain"), "bearing W-1 right": Word("cartridge plain")}
    text = changed("  all: {coupler_type: type H}", "  A: {coupler_type: type E}\n  all: {coupler_type: type H}")
    couplers = {one.part: one.value for one in car(text).evidence if one.attribute == "coupler_type"}
    assert couplers == {"coupler A": Word("type E"), "coupler B": Word("type H")}


def test_each_value_knows_where_it_stands() -> None:
    found = next(one for one in car().evidence if one.part == "wheel W-1 left" and one.attribute == "flange_height")
    line = CAR.splitlines()[found.where.line - 1]
    assert line[found.where.column - 1 :].startswith("1-3/16 in")
    assert (found.by.name if found.by else "", found.gauge.name if found.gauge else "") == ("RE", "G-2")
    assert len({one.id for one in car().evidence}) == len(car().evidence)


@pytest.mark.parametrize(
    ("entry", "lacks"),
    [
        ("{test: brake leakage test, method: gauge, gauge: P-1}", False),
        ("{test: brake leakage test, method: gauge}", True),
        ("{test: brake leakage test}", True),  # nothing says how it was made
        ("{test: brake leakage test, method: soap}", False),
        ("{test: brake leakage test, gauge: G-2}", True),  # a finger gauge shows no leakage
        ("{test: brake leakage test, gauge: X-1}", False),  # a kind that nobody knows may show anything
        ("{test: brake leakage test, result: failed}", False),  # it counts whatever showed it
        ("{test: gas leak test, method: leak fluid}", False),
        ("{test: gas leak test, method: both}", True),
        ("{test: head-end power test}", True),
        ("{test: head-end power test, gauge: M-1}", False),
        ("{test: class I brake test}", False),  # no gauge of its own is asked of it
    ],
)
def test_a_test_that_a_gauge_shows_names_it(entry: str, lacks: bool) -> None:
    gauges = "gauges:\n  X-1: {kind: a gauge of ours}\n  M-1: {kind: insulation tester}\n"
    record = changed("gauges:\n", gauges).replace("brake_system:", "head_end_power: {}\nbody: {}\nbrake_system:")
    head = "on: 2026-06-20, by: HM" + ("" if "result" in entry else ", result: passed")
    found = car(changed("tests:\n", f"tests:\n  - {{{head}, {entry[1:]}\n", record)).evidence
    (one,) = [one for one in found if one.sort == "test" and str(one.on) == "2026-06-20"]
    assert one.ungauged is lacks


@pytest.mark.parametrize(
    ("test", "remedy"),
    [("single-car brake test", "`device`, and `device_due`"), ("class I brake test", "leave it out")],
)
def test_a_gauge_for_a_test_that_none_shows_is_refused(test: str, remedy: str) -> None:
    entry = f"  - {{test: {test}, on: 2026-06-20, by: HM, result: passed, gauge: «P-1}}\n"
    found = problem_at_mark("tests:\n", f"tests:\n{entry}")
    assert found.found == f"a gauge for the test `{test}`"
    assert remedy in found.remedy
