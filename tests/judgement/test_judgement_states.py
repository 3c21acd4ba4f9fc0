"""States: what can't be decided burdens and never relieves; a choice left open by the move is judged at its worst."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import (
    NOWHERE,
    OUT,
    REACH,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    inches,
    move,
    reading,
    relieves,
    requires,
    rulebook,
)

from carknocker.judgement.facts import StateFact
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.quantities import Quantity
from carknocker.questions.why.chain import fact_node
from carknocker.record.model import Evidence, Spare
from carknocker.record.values import Figure, Word
from carknocker.rulebook.clauses import AllOf, AnyOf
from carknocker.rulebook.model import Restriction, Restricts
from carknocker.wording.causes import fact_words
from carknocker.wording.refusals import against_words


def mph(number):
    return Quantity("speed", number, 1, "mph")


def description(part, name, word):
    return Evidence(f"{part} {name}", name, part, part, Word(word), "description", None, NOWHERE)


def frames(word_at_a, word_at_b):
    """A car with two truck frames; None: not on record."""
    words = {"truck A": word_at_a, "truck B": word_at_b}
    return car_record([description(truck, "frame", word) for truck, word in words.items() if word is not None])


BUILT_UP = cause("state", of="truck", when=compare("truck", "frame", "is", Word("built-up")))
THIRTY = consequence("built-up-30", [BUILT_UP], Restricts((Restriction("speed", quantity=mph(30)),)))
SOUND = criterion("frame-shown", "car", compare("car", "reporting_mark", "is_not", Word("none")), effect="advise")


def judged(record, *consequences, criteria=(SOUND,), train_facts=None, **more):
    given = {"speed": Figure(mph(50))} if train_facts is None else train_facts
    return judge(record, move(train_facts=given, **more), rulebook(list(criteria), [*REACH, *consequences]), OUT)


@pytest.mark.parametrize(
    ("at_b", "speed", "outcome"),
    [
        ("one-piece cast", 50, "ready"),
        ("built-up", 50, "not ready"),
        (None, 50, "not ready"),
        (None, 30, "ready with restrictions"),
        (None, 31, "not ready"),
    ],
)
def test_a_frame_that_is_not_on_record_costs_what_the_slowest_frame_does(at_b, speed, outcome):
    judgement = judged(frames("one-piece cast", at_b), THIRTY, train_facts={"speed": Figure(mph(speed))})
    assert judgement.outcome == outcome
    against = [against_words(one.against) for one in judgement.refusals]
    wanted = f"the train is to run at {speed} mph; the car may run at most 30 mph"
    assert against == ([wanted] if outcome == "not ready" else [])


def test_what_is_missing_is_named_with_its_part():
    judgement = judged(frames("built-up", None), THIRTY)
    index = JudgementIndex(judgement)
    assert [fact_words(fact, index) for fact in judgement.restrictions[0].reasons] == [
        "truck frame: built-up (truck A)",
        "truck B: truck frame not on record, so it may be built-up",
    ]
    node = fact_node(StateFact("test/built-up-30", 0, "truck B"), index)
    assert node.said == "truck B: nothing shows that it is not as “built-up-30” says"
    assert node.lines == (("asks", "truck frame: built-up"), ("seen", "truck frame: nothing on record"))


def test_a_state_that_cannot_be_decided_calls_for_a_duty():
    rides = consequence("spare", [BUILT_UP], requires("truck", spare="air hose", each=True))
    assert [duty.part.key for duty in judged(frames("built-up", None), rides).duties] == ["truck A", "truck B"]
    assert [duty.part.key for duty in judged(frames("built-up", "one-piece cast"), rides).duties] == ["truck A"]
    record = replace(frames("built-up", None), spares=(Spare("S-1", "air hose", "", 2, 0, {}, NOWHERE),))
    assert judged(record, rides).outcome == "ready"


def test_a_state_that_cannot_be_decided_relieves_nothing():
    thick = criterion("thick", "wheel", compare("wheel", "flange_thickness", "over", Figure(inches(14))))
    cast = cause("state", of="truck", when=compare("truck", "frame", "is", Word("one-piece cast")))
    relief = consequence("cast-frames", [cast], relieves(criteria=("test/thick",), of="wheel"))
    for at_b, outcome in (("one-piece cast", "ready"), ("built-up", "not ready"), (None, "not ready")):
        assert judged(frames("one-piece cast", at_b), relief, criteria=[thick]).outcome == outcome


def test_what_is_always_asked_is_asked_of_every_part_whatever_is_on_record():
    always = consequence("spare", [cause("state", of="truck")], requires("truck", spare="air hose", each=True))
    judgement = judged(frames(None, "built-up"), always)
    assert [duty.part.key for duty in judgement.duties] == ["truck A", "truck B"]
    index = JudgementIndex(judgement)
    (first, _) = judgement.duties
    assert fact_words(first.cause, index) == "asked of every such part (truck A)"
    assert fact_node(first.cause, index).said == "truck A: asked of every such part"


def test_a_doubtful_reading_that_leaves_a_state_open_is_named():
    """A coupler half an inch over the rail: whether it is under 30 in nobody knows."""
    low = cause("state", of="coupler", when=compare("coupler", "coupler_height", "under", Figure(inches(480))))
    record = car_record([reading("coupler A", "coupler_height", Figure(inches(8)), OUT)])
    judgement = judged(record, consequence("slow", [low], Restricts((Restriction("speed", quantity=mph(30)),))))
    index = JudgementIndex(judgement)
    said = [fact_words(fact, index) for fact in judgement.restrictions[0].reasons]
    assert any("coupler height" in words and "coupler A" in words for words in said), said


LAST = cause("state", of="car", when=compare("car", "place", "is", Word("rear"), owner="train"))
MARKER = consequence("marker", [LAST], requires("car", spare="rear marker"))


@pytest.mark.parametrize(
    ("place", "outcome"), [("rear", "not ready"), ("front", "ready"), ("anywhere", "not ready"), (None, "not ready")]
)
def test_a_car_that_may_run_last_brings_what_the_last_one_brings(place, outcome):
    said = {} if place is None else {"place": Word(place)}
    assert judged(frames(None, None), MARKER, train_facts=said).outcome == outcome


@pytest.mark.parametrize(
    ("word", "words", "front", "anywhere"),
    [
        ("is_not", ("rear",), "ready", "not ready"),
        ("none_of", ("rear",), "ready", "not ready"),
        ("one_of", ("front", "rear"), "ready", "not ready"),
    ],
)
def test_a_criterion_about_the_place_is_not_shown_while_the_place_is_left_open(word, words, front, anywhere):
    one = criterion("place", "train", compare("train", "place", word, *map(Word, words)))
    for place, outcome in (("front", front), ("anywhere", anywhere)):
        assert judged(frames(None, None), criteria=[one], train_facts={"place": Word(place)}).outcome == outcome


def test_of_a_place_left_open_a_restriction_is_a_condition():
    """Nobody has to say where the car runs, so that it may be placed as the restriction says."""
    rear = consequence("rear", [BUILT_UP], Restricts((Restriction("place", words=("rear",)),)))
    for place, outcome in (("anywhere", "ready with restrictions"), ("front", "not ready")):
        said = {"place": Word(place)}
        assert judged(frames("built-up", "one-piece cast"), rear, train_facts=said).outcome == outcome


FRAMES = ("built-up", "one-piece cast", "arch bar")
BEARINGS = ("plain", "sealed tapered cartridge")
DESCRIBED = {"truck": ("frame", FRAMES), "bearing": ("class", BEARINGS)}


@st.composite
def word_clauses(draw, kind):
    """One or two comparisons of words about a part of the kind."""
    name, words = DESCRIBED[kind]

    def one():
        word = draw(st.sampled_from(["is", "is_not", "one_of", "none_of"]))
        count = 1 if word in ("is", "is_not") else 2
        chosen = draw(st.lists(st.sampled_from(words), min_size=count, max_size=count, unique=True))
        return compare(kind, name, word, *map(Word, chosen))

    shape = draw(st.sampled_from([None, AllOf, AnyOf]))
    return one() if shape is None else shape((one(), one()))


@st.composite
def described_worlds(draw):
    """A car with every frame and bearing described, and a rulebook of criteria, states and reliefs about them."""
    kinds = st.sampled_from(sorted(DESCRIBED))
    found = []
    for number in range(draw(st.integers(1, 3))):
        kind = draw(kinds)
        effect = draw(st.sampled_from(["refuse", "restrict", "advise"]))
        found.append(
            criterion(
                f"c{number}", kind, draw(word_clauses(kind)), when=draw(st.none() | word_clauses(kind)),
                unless=draw(st.none() | word_clauses(kind)), effect=effect,
                restrictions=(Restriction("speed", quantity=mph(40)),) if effect == "restrict" else (),
            )
        )  # fmt: skip
    rules = []
    for number in range(draw(st.integers(0, 4))):
        kind = draw(kinds)
        state = cause("state", of=kind, when=draw(word_clauses(kind)))
        unmet = cause("finding", verdicts=("unmet",), criteria=(draw(st.sampled_from(found)).id,))
        produced = draw(
            st.sampled_from(
                [
                    Restricts((Restriction("speed", quantity=mph(30)),)),
                    Restricts((Restriction("riders", words=("nobody",)),)),
                    requires("car", words="look at it"),
                    requires(kind, spare="air hose", each=True),
                    relieves(criteria=(draw(st.sampled_from(found)).id,)),
                ]
            )
        )
        relieving = produced.__class__.__name__ == "Relieves"
        given = [state] if relieving else [draw(st.sampled_from([state, unmet]))]
        rules.append(consequence(f"q{number}", given, produced, when=None))
    evidence = [
        description(truck, "frame", draw(st.sampled_from(FRAMES))) for truck in ("truck A", "truck B")
    ]  # fmt: skip
    for number in (1, 2, 3, 4):
        for side in ("left", "right"):
            evidence.append(description(f"bearing W-{number} {side}", "class", draw(st.sampled_from(BEARINGS))))
    spares = [Spare("S-1", "air hose", "", draw(st.integers(0, 3)), 0, {}, NOWHERE)]
    return car_record(evidence, spares=spares), rulebook(found, [*REACH, *rules])


def burdens(judgement):
    """Refusals, restrictions and duties not done, each by what says so and its part."""
    found = set()
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            found.add(("finding", refusal.finding.criterion.id, refusal.finding.part.key))
        elif refusal.against is not None:
            found.add(("against", refusal.against.sort, ""))
    for one in judgement.restrictions:
        found.add(("restricts", one.said_by, one.restriction))
    for duty in judgement.duties:
        found.add((duty.state, duty.consequence.id, duty.part.key))
    return found


ORDER = ["ready", "ready with restrictions", "repair move only", "not ready"]


@given(described_worlds(), st.data())
def test_a_description_taken_away_never_lifts_anything(world, data):
    record, book = world
    gone = data.draw(st.sampled_from(record.evidence))
    train = {"speed": Figure(mph(data.draw(st.sampled_from([25, 35, 45]))))}
    fewer = replace(record, evidence=tuple(one for one in record.evidence if one is not gone))
    before = judge(record, move(train_facts=train), book, OUT)
    assume(not any(gone in one.touched for one in before.doubts))  # with one of two that contradict, the doubt goes
    after = judge(fewer, move(train_facts=train), book, OUT)
    assert ORDER.index(after.outcome) >= ORDER.index(before.outcome)
    lost = {one for one in burdens(before) - burdens(after) if one[0] != "done"}
    assert not lost, lost
