"""Which examples a criterion must have."""

from pathlib import Path

import pytest
from rulebook_samples import (
    alone,
    criterion_text,
)


@pytest.mark.parametrize(
    ("of", "must", "examples", "words"),
    [
        ("wheel", "{flange_thickness: {over: 7/8 in}}", "[]", "no examples"),
        ("wheel", "{cracked: no}", "[{cracked: yes, is: breached}]", "no example that is met"),
        ("wheel", "{cracked: no}", "[{cracked: no, is: met}, {is: not shown}]", "no example that is breached"),
        ("wheel", "{cracked: {shown: yes}}", "[{cracked: no, is: met}, {is: not shown}]", ""),
        ("wheel", "{flange_thickness: {over: 7/8 in}}",
         "[{flange_thickness: 57/64 in, is: met}, {flange_thickness: 55/64 in, is: breached}]",
         "no example on the boundary of flange_thickness: 7/8 in"),
        ("wheel", "{flange_thickness: {over: 7/8 in}}",
         "[{flange_thickness: 7/8 in, is: breached}, {flange_thickness: 1 in, is: met}]", "no example just past"),
        ("wheel", "{flange_thickness: {over: 7/8 in}}",
         "[{flange_thickness: 7/8 in, is: breached}, {flange_thickness: 55/64 in, is: breached}, "
         "{flange_thickness: 1 in, is: met}]", "no example just past"),
        ("wheel", "{flange_height: {at_most: 1 in}}",
         "[{flange_height: 1 in, is: met}, {flange_height: 65/64 in, is: breached}]", ""),
        ("wheel", "{any: [{rim_thickness: {at_least: 1 in}}, {cracked: no}]}",
         "[{cracked: no, is: met}, {rim_thickness: 1 in, is: met}, {rim_thickness: 63/64 in, cracked: yes, is:"
         " breached}]", ""),
        ("brake system", "{leakage: {at_most: {by: control_valve, AB: 5 psi/min, otherwise: 3 psi/min}}}",
         "[{control_valve: AB, leakage: 5 psi/min, is: met}, {control_valve: AB, leakage: 6 psi/min, is: breached}]",
         "3 psi/min where control_valve is none of the table"),
        ("brake system", "{leakage: {at_most: {by: control_valve, AB: 5 psi/min, otherwise: 3 psi/min}}}",
         "[{control_valve: UC, leakage: 3 psi/min, is: met}, {control_valve: UC, leakage: 4 psi/min, is: breached}]",
         "5 psi/min where control_valve is AB"),
        ("brake cylinder", "{piston_travel: {at_most: {attribute: plate_travel}}}",
         "[{plate_travel: 6 in, piston_travel: 5 in, is: met}, {plate_travel: 6 in, piston_travel: 7 in, is:"
         " breached}]",
         "piston_travel against plate_travel"),
        ("brake cylinder", "{piston_travel: {at_most: {attribute: plate_travel}}}",
         "[{plate_travel: 6 in, piston_travel: 6 in, is: met}, "
         "{plate_travel: 6 in, piston_travel: 6-1/64 in, is: breached}]", ""),
        ("truck", "{opened_on: {within: [1 year, 500 mi]}}",
         "[{opened_on: {aged: 1 year, miles_ago: 500 mi}, is: met}, {opened_on: {aged: 366 days}, is: breached}]",
         "no example just past the boundary of opened_on: 500 miles"),
        ("truck", "{opened_on: {within: [1 year, 500 mi]}}",
         "[{opened_on: {aged: 1 year, miles_ago: 500 mi}, is: met}, {opened_on: {aged: 366 days}, is: breached}, "
         "{opened_on: {aged: 3 days, miles_ago: 501 mi}, is: breached}]", ""),
        ("truck", "{each: {of: spring, must: {height: {at_least: 5 in}}}}",
         "[{parts: [{of: spring, height: 5 in}], is: met}, {parts: [{of: spring, height: 4-63/64 in}], is: breached}]",
         ""),
        ("truck", "{each: {of: spring, must: {height: {at_least: 5 in}}}}",
         "[{parts: [{of: spring, height: 6 in}], is: met}, {parts: [{of: spring, height: 4 in}], is: breached}]",
         "no example on the boundary of height: 5 in"),
        ("brake system", "{count_of_vents: {at_least: 2}}",
         "[{count_of_vents: 2, is: met}, {count_of_vents: 1, is: breached}]", ""),
        ("brake system", "{count_of_vents: {at_least: 2}}",
         "[{count_of_vents: 3, is: met}, {count_of_vents: 0, is: breached}]", "count_of_vents: 2"),
    ],
)  # fmt: skip
def test_examples_on_and_past_each_boundary(tmp_path: Path, of: str, must: str, examples: str, words: str) -> None:
    found = alone(tmp_path, criterion_text(f"must: {must}\nexamples: {examples}", of))
    if words:
        assert words in found
    else:
        assert found == ""


@pytest.mark.parametrize(("age", "sound"), [("90 days", False), ("91 days", True), ("92 days", False)])
def test_the_oldest_reading_needs_its_boundary_too(tmp_path: Path, age: str, sound: bool) -> None:
    keys = (
        "must: {cracked: no}\nread_within: 90 days\nexamples:\n  - {cracked: {reads: no, aged: 90 days}, is: met}\n"
        f"  - {{cracked: {{reads: no, aged: {age}}}, is: not shown}}\n  - {{cracked: yes, is: breached}}"
    )
    assert (alone(tmp_path, criterion_text(keys)) == "") is sound


def test_a_criterion_on_a_figure_without_any_example_is_told_of_its_boundary_too(tmp_path: Path) -> None:
    found = alone(tmp_path, criterion_text("must: {flange_thickness: {over: 7/8 in}}"))
    assert "no examples" in found
    assert "no example on the boundary of flange_thickness: 7/8 in" in found
    assert "no example just past the boundary of flange_thickness: 7/8 in" in found
