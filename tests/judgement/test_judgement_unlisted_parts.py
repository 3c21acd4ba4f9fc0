"""Parts that must be there and are not on record: what each criterion makes of them, and what a count does."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from random_worlds import (
    NOWHERE,
    OUT,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    move,
    reading,
    rulebook,
)

from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record.model import Evidence, Part, Work
from carknocker.record.values import Count, Word
from carknocker.rulebook.clauses import Clause, CountOf, EachOf
from carknocker.rulebook.model import CarriesUp, Consequence, Criterion, Voids

YES, NO = Word("yes"), Word("no")
UP = [
    consequence(
        "up",
        [
            cause("finding", verdicts=("unmet",), of=kind, effect="refuse")
            for kind in ("spring", "cock", "truck", "jumper")
        ],
        CarriesUp(("truck", "car")),
    )
]
SOUND = compare("spring", "coil_broken", "is", NO)


def springs(listed: int) -> list[Part]:
    return [
        Part(f"spring {number}", "spring", str(number), f"spring {number}", "truck B", True, NOWHERE)
        for number in range(1, listed + 1)
    ]


def bolster_springs(listed: int) -> list[Evidence]:
    """That each listed spring is a sound one under the bolster."""
    return [
        one
        for number in range(1, listed + 1)
        for one in (
            Evidence(
                f"p{number}",
                "spring_place",
                f"spring {number}",
                f"spring {number}",
                Word("bolster"),
                "description",
                None,
                NOWHERE,
            ),
            reading(f"spring {number}", "coil_broken", NO, OUT - timedelta(days=9)),
        )
    ]


def number(of: int, on: date = OUT - timedelta(days=9), name: str = "bolster_springs") -> Evidence:
    return reading("truck B", name, Count(of), on)


def described() -> list[Evidence]:
    """That both trucks are equalized, and that there is no spring but those under the bolster of truck B."""
    told = []
    for truck in ("truck A", "truck B"):
        told.append(Evidence(f"{truck} e", "equalized", truck, truck, YES, "description", None, NOWHERE))
        told.append(reading(truck, "equalizer_springs", Count(0), OUT - timedelta(days=9)))
    return [*told, reading("truck A", "bolster_springs", Count(0), OUT - timedelta(days=9))]


def judged(
    one: Criterion, listed: int = 0, *more: Evidence, rest: list[Evidence] | None = None, 
    also: list[Consequence] | None = None, work: list[Work] | None = None, evaluator: PlainEvaluator | None = None,
) -> Judgement:  # fmt: skip
    """With some springs listed in truck B. rest: what is said of the others; by default that there are none."""
    told = [*bolster_springs(listed), *(described() if rest is None else rest), *more]
    bare = car_record(told, work=work)
    car = replace(bare, parts=(*bare.parts, *springs(listed)))
    return judge(car, move(), rulebook([one], [*UP, *(also or [])]), OUT, evaluator=evaluator)


def verdicts(judgement: Judgement, in_: str = "bolster springs of truck B") -> list[str]:
    return [one.verdict for one in judgement.findings if one.part.label.endswith(in_)]


@pytest.mark.parametrize("shown_by", ["owner before the move", "host on the day", "accepted shop"])
@pytest.mark.parametrize("effect", ["refuse", "advise"])
def test_an_unlisted_part_is_not_shown_whoever_shows_it(shown_by: str, effect: str) -> None:
    found = judged(criterion("sound", "spring", SOUND, shown_by=shown_by, effect=effect))
    assert verdicts(found) == ["not shown"]
    assert found.outcome == ("not ready" if effect == "refuse" else "ready")


def test_a_listed_part_without_a_reading_is_for_the_day_as_before() -> None:
    one = criterion("tight", "spring", compare("spring", "compressed_solid", "is", NO), shown_by="host on the day")
    found = judged(one, 2, number(2))
    assert [f.verdict for f in found.findings if f.part.key == "spring 1"] == ["for the day"]
    assert verdicts(found) == []


@pytest.mark.parametrize(("of", "unlisted"), [(3, ["not shown"]), (2, [])])
def test_what_is_missing_to_the_number_is_not_shown(of: int, unlisted: list[str]) -> None:
    assert verdicts(judged(criterion("sound", "spring", SOUND), 2, number(of))) == unlisted


def test_a_part_that_is_left_out_is_never_better_than_a_broken_one() -> None:
    one = criterion("sound", "spring", SOUND, shown_by="host on the day")
    broken = reading("spring 2", "coil_broken", YES, OUT - timedelta(days=1))
    assert judged(one, 2, number(2), broken).outcome == "not ready"
    assert judged(one, 1, number(2)).outcome == "not ready"
    assert judged(one, 1).outcome == "not ready"


def test_it_is_not_applicable_where_the_container_or_the_move_decides_so() -> None:
    place = criterion(
        "place", "spring", SOUND, when=compare("spring", "truck_kind", "is", Word("three-axle"), owner="truck")
    )
    kind = Evidence("k", "truck_kind", "truck B", "truck B", Word("two-axle"), "description", None, NOWHERE)
    assert verdicts(judged(place, 0, kind)) == ["not applicable"]
    assert verdicts(judged(place)) == ["not shown"]
    freight = criterion(
        "freight", "spring", SOUND, when=compare("spring", "train", "is", Word("freight"), owner="move")
    )
    assert verdicts(judged(freight)) == ["not applicable"]


def test_it_is_of_its_row_and_of_no_other() -> None:
    one = criterion("leaf", "spring", SOUND, when=compare("spring", "spring_place", "is", Word("equalizer")))
    found = judged(one, rest=[])
    assert verdicts(found) == ["not applicable"]
    assert verdicts(found, "equalizer springs of truck B") == ["not shown"]


def test_what_it_is_otherwise_nobody_knows() -> None:
    one = criterion("coil", "spring", SOUND, when=compare("spring", "spring_kind", "is", Word("elliptic")))
    assert verdicts(judged(one)) == ["not shown"]


def counted(word: str, limit: int) -> Clause:
    return CountOf("spring", compare("spring", "spring_place", "is", Word("bolster")), word, limit, NOWHERE)


@pytest.mark.parametrize(
    ("word", "limit", "without_number", "three_of_them", "all_listed"),
    [
        ("at_least", 2, "met", "met", "met"),
        ("at_least", 3, "not shown", "not shown", "breached"),
        ("at_least", 4, "not shown", "breached", "breached"),
        ("at_most", 1, "breached", "breached", "breached"),
        ("at_most", 2, "not shown", "not shown", "met"),
        ("at_most", 3, "not shown", "met", "met"),
        ("is", 2, "not shown", "not shown", "met"),
        ("is", 1, "breached", "breached", "breached"),
        ("over", 2, "not shown", "not shown", "breached"),
        ("under", 3, "not shown", "not shown", "met"),
    ],
)
def test_a_count_takes_what_is_not_listed_for_unknown_members(
    word: str, limit: int, without_number: str, three_of_them: str, all_listed: str
) -> None:
    one = criterion("enough", "truck", counted(word, limit))
    for numbers, wanted in (([], without_number), ([number(3)], three_of_them), ([number(2)], all_listed)):
        found = judged(one, 2, *numbers)
        assert [f.verdict for f in found.findings if f.part.key == "truck B"] == [wanted], numbers


@pytest.mark.parametrize(("broken", "wanted"), [(NO, "not shown"), (YES, "breached")])
def test_each_is_unknown_unless_a_listed_one_fails(broken: Word, wanted: str) -> None:
    one = criterion("each", "truck", EachOf("spring", None, SOUND, NOWHERE))
    found = judged(one, 1, number(2), reading("spring 1", "coil_broken", broken, OUT - timedelta(days=1)))
    assert [f.verdict for f in found.findings if f.part.key == "truck B"] == [wanted]


def test_a_void_number_no_longer_closes_the_list() -> None:
    rolled = Work("J-1", False, "truck rolled out", OUT - timedelta(days=3), ("truck B",), NOWHERE)
    voids = consequence(
        "recount", [cause("work", names=("truck rolled out",))], Voids("", ("bolster_springs",), "truck")
    )
    one = criterion("sound", "spring", SOUND)
    assert verdicts(judged(one, 2, number(2), also=[voids])) == []
    assert verdicts(judged(one, 2, number(2), also=[voids], work=[rolled])) == ["not shown"]
    again = number(2, OUT - timedelta(days=1))
    assert verdicts(judged(one, 2, number(2), again, also=[voids], work=[rolled])) == []


def test_no_criterion_no_finding() -> None:
    found = judged(criterion("cock", "cock", compare("cock", "works", "is", YES)), 2, number(2))
    assert {one.part.kind for one in found.findings} == {"cock"}


def test_both_evaluators_see_the_same_unlisted_parts() -> None:
    one = criterion("sound", "spring", SOUND)
    plain, usual = judged(one, evaluator=PlainEvaluator()), judged(one)
    assert [one.fact for one in plain.findings] == [one.fact for one in usual.findings]
    assert plain.refusals == usual.refusals
    assert plain.refusals
