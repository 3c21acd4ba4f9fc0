"""Holding a car on a grade by its hand brake."""

from fractions import Fraction

import msgspec

from carknocker.workings.model import OutOfRange
from carknocker.workings.result import Result, number, result, written


class Holding(msgspec.Struct, frozen=True):
    """What a hand brake holds against what the grade asks, lb."""

    retarding: Result
    needed: Result


def hand_brake_holding(force: Fraction, friction: Fraction, weight: Fraction, grade: Fraction) -> Holding:
    """μF against W·g: holding on a grade. F: force of the shoes that the hand brake works, lb; μ: friction of shoe on
    wheel, over 0, under 1; W: gross weight, lb; g: grade as a ratio, 0 to 0.2. W·g is a little more than W·sin, so on
    the safe side. Rolling resistance is not counted on. No friction is built in: it depends on shoe and weather."""
    if force < 0 or weight <= 0 or not 0 < friction < 1 or not 0 <= grade <= Fraction(1, 5):
        raise OutOfRange("a force from 0 lb, a weight over 0 lb, a friction between 0 and 1, a grade from 0 to 20 %")
    return Holding(
        result("weight", friction * force, f"R = μ × F = {number(friction)} × {written('weight', force)}"),
        result("weight", weight * grade, f"G = W × g = {written('weight', weight)} × {written('ratio', grade)}"),
    )
