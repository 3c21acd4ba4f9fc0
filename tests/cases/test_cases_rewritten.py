"""Writing a value in mm, reordering the YAML, mirroring the car side to side: none changes a judgement."""

import random
import re

import pytest
from case_list import CASES, expected, library
from yaml_texts import texts_of, yaml_of

from carknocker.judgement.answer import check
from carknocker.record import read_car_text, read_move_text

FULL = ["wren-hollow/before", "wren-hollow/after", "larkspur/passenger"]
_INCHES = re.compile(r"(?P<whole>\d+)(?:-(?P<over>\d+)/(?P<under>\d+))? in|(?P<top>\d+)/(?P<bottom>\d+) in")
_SIDES = {"L": "R", "R": "L", "left": "right", "right": "left"}


def plain(name, file):
    return texts_of((CASES / name / file).read_text(encoding="utf-8"))


def judged(name, car):
    move = read_move_text((CASES / name / "move.yaml").read_text(encoding="utf-8"), "move.yaml")
    text = yaml_of(car, quoted=True)
    return check(read_car_text(text, "car.yaml"), move, library(), expected(name)["as_of"]).judgement


def said(judgement, rename=lambda label: label):
    findings = sorted((f.criterion.id, rename(f.part.label), f.verdict) for f in judgement.findings)
    duties = sorted((d.consequence.id, rename(d.part.label), d.state) for d in judgement.duties)
    return judgement.outcome, findings, duties, [one.said_by for one in judgement.restrictions]


def in_millimeters(value):
    """Every length in inches, below a foot of figures, written as the same length in mm."""
    if isinstance(value, dict):
        return {key: in_millimeters(one) for key, one in value.items()}
    if isinstance(value, list):
        return [in_millimeters(one) for one in value]
    match = _INCHES.fullmatch(value)
    if match is None:
        return value
    if match["top"]:
        millimeters = 254 * int(match["top"]) / (10 * int(match["bottom"]))
    else:
        part = 25.4 * int(match["over"]) / int(match["under"]) if match["over"] else 0
        millimeters = 25.4 * int(match["whole"]) + part
    return f"{millimeters:.6f} mm"


def shuffled(value, source):
    if isinstance(value, dict):
        entries = [(key, shuffled(one, source)) for key, one in value.items()]
        source.shuffle(entries)
        return dict(entries)
    return [shuffled(one, source) for one in value] if isinstance(value, list) else value


def mirrored_key(key):
    def swap(word):
        word = word.strip()
        if re.fullmatch(r"[LR]\d+", word):
            return _SIDES[word[0]] + word[1:]
        if re.fullmatch(r"[AB][LR]", word):
            return word[0] + _SIDES[word[1]]
        if word.split("_")[0] in ("left", "right") and word.split("_")[-1] in ("wheel", "bearing"):
            return f"{_SIDES[word.split('_')[0]]}_{word.split('_')[1]}"
        return word

    return ", ".join(swap(word) for word in key.split(","))


def mirrored(value):
    """The car as seen in a mirror: what was read on the left stands on the right. Positions also stand in `at`."""
    if isinstance(value, dict):
        found = {}
        for key, one in value.items():
            if key == "at":
                found[key] = [mirrored_key(word) for word in one] if isinstance(one, list) else mirrored_key(one)
            else:
                found[mirrored_key(key)] = mirrored(one)
        return found
    return [mirrored(one) for one in value] if isinstance(value, list) else value


def mirrored_label(label):
    return " ".join(mirrored_key(word) for word in label.split(" "))


@pytest.mark.parametrize("name", FULL)
def test_millimeters_judge_as_inches_do(name):
    car = plain(name, "car.yaml")
    changed = in_millimeters(car)
    assert changed != car
    assert said(judged(name, changed)) == said(judged(name, car))


@pytest.mark.parametrize("name", FULL)
@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_keys_changes_nothing(name, seed):
    car = plain(name, "car.yaml")
    changed = shuffled(car, random.Random(seed))
    assert list(changed) != list(car)
    assert said(judged(name, changed)) == said(judged(name, car))


@pytest.mark.parametrize("name", FULL)
def test_a_mirrored_car_is_judged_as_its_original(name):
    car = plain(name, "car.yaml")
    changed = mirrored(car)
    assert changed != car
    assert said(judged(name, changed), mirrored_label) == said(judged(name, car))
