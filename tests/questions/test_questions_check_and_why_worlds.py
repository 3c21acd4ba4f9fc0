"""`check` and `why` agree, on any car under any rulebook: `why` about a part or a rule says the state and the causes
that the judgement says, and nothing that it says contradicts the judgement."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from hypothesis import given, settings
from msgspec.structs import replace
from oracle import UNKNOWN, Terms, World, truth
from question_samples import every, line
from random_worlds import (
    OUT,
    TEST,
    WORK,
    car_record,
    cause,
    compare,
    consequence,
    criterion,
    move,
    reading,
    relieves,
    requires,
    rulebook,
    worlds,
)

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.facts import (
    DutyFact,
    EntryFact,
    Fact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    RestrictedFact,
    SeenFact,
    StateFact,
    UnfitFact,
)
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Duty, Finding, Firing, Judgement, Relief, RestrictionInForce
from carknocker.quantities import Period
from carknocker.questions.why.ask import why
from carknocker.questions.why.model import WhyNode
from carknocker.record.model import Evidence, Leave, Work
from carknocker.record.values import Day, Interval, Word
from carknocker.rulebook.choice import RulebookChoice
from carknocker.rulebook.model import CarriesUp, Restricts
from carknocker.wording.refusals import against_words

ASKED = [
    consequence(
        "work-asks",
        [cause("work", names=tuple(WORK))],
        requires("brake system", test=TEST),
        requires("truck", words="look at it", when="on the way"),
    ),
    consequence("open-duty-stops", [cause("duty", names=("test/work-asks",))], CarriesUp(("car",))),
    consequence(
        "slow-freight",
        [cause("restricted", names=("speed",), when=compare("move", "train", "is", Word("freight"), owner="move"))],
        requires("car", words="look at it"),
    ),
]
"""In every world besides: duties of work, what stops for them, and what does not follow though its cause is there."""
WORLDS = min(settings.default.max_examples, 1000)
STATES = {"open": "due", "done": "done", "on the way": "to be done on the way"}


def judged(world: tuple) -> CheckAnswer:
    car, planned, drawn = world
    book = rulebook(list(drawn.criteria), [*drawn.consequences, *ASKED])
    return CheckAnswer(judge(car, planned, book, OUT), None, RulebookChoice(book, None, ()), OUT, ())


def facts_of(node: WhyNode) -> Counter[str]:
    """What a node gives as its direct reasons, each by what it is about."""
    return Counter(told for told in map(told_of, node.because) if told)


def told_of(node: WhyNode) -> str:
    match node.about:
        case Finding() as finding:
            return " ".join(finding.fact.name)
        case Duty() as duty:
            return " ".join(duty.fact.name)
        case Work() as work:
            return f"entry {work.id}"
        case Leave() as leave:
            return f"leave {leave.id}"
        case Evidence() as evidence:
            return f"evidence {evidence.id}"
    return node.said if node.sort in ("unfit", "restriction", "clause") else ""


def told_as(fact: Fact, judgement: Judgement) -> str:
    """How `why` is to show a fact as a reason."""
    match fact:
        case FindingFact() | DutyFact():
            return " ".join(fact.name)
        case EntryFact():
            return f"entry {fact.entry}"
        case LeaveFact():
            return f"leave {fact.leave}"
        case PassedTestFact():
            return f"evidence {fact.evidence}"
        case UnfitFact():
            label = judgement.parts[fact.part].label
            return f"{'the car' if fact.part == 'car' else label} is unfit"
        case RestrictedFact():
            return fact.words
        case SeenFact():
            return f"seen beyond the limit of “{fact.criterion.removeprefix('test/')}”, whatever was measured since"
    return state_as(fact, judgement)


def state_as(fact: StateFact, judgement: Judgement) -> str:
    """A state that burdens because nothing decides it is told as such; one that holds as it is. Which of the two, is
    worked out a second time, as it is seen on departure."""
    label, rule = judgement.parts[fact.part].label, fact.consequence.removeprefix("test/")
    (state,) = [one for one in judgement.rulebook.consequences if one.id == fact.consequence]
    when, move = state.causes[fact.cause_number].when, judgement.move
    world = World(judgement.car, move, judgement.as_of, frozenset(judgement.situation.excluded))
    if truth(world, fact.part, when, Terms(move.out)) == UNKNOWN:
        return f"{label}: nothing shows that it is not as “{rule}” says"
    return f"{label} is as “{rule}” says"


def causes_of(fact: Fact, judgement: Judgement) -> list[Fact]:
    """The causes of a fact; of a ring through itself nobody needs to be told."""
    causes = dict.fromkeys(firing.cause for firing in judgement.firings if fact in firing.followed)
    return [cause for cause in causes if cause != fact]


def nodes_about(nodes: tuple[WhyNode, ...], sort: type) -> Iterator[WhyNode]:
    return (node for node in every(nodes) if isinstance(node.about, sort))


def says(node: WhyNode, word: str) -> bool:
    """Whether a node says a verdict or a state: in its fault, or behind it."""
    return word in node.said


def says_the_same(nodes: tuple[WhyNode, ...], judgement: Judgement) -> None:
    """Nothing in a tree contradicts the judgement."""
    findings, duties = map(id, judgement.findings), map(id, judgement.duties)
    known = {*findings, *duties}
    for node in nodes_about(nodes, Finding):
        assert id(node.about) in known
        assert node.sort == "duty" or says(node, node.about.verdict)
        assert node.sort == "duty" or node.struck == node.about.relieved
    for node in nodes_about(nodes, Duty):
        assert id(node.about) in known
        assert node.said.startswith("on the way: ") or says(node, STATES[node.about.state])
    for node in nodes_about(nodes, Firing):
        assert node.about in judgement.firings
    unfit = {fact for firing in judgement.firings for fact in firing.followed if isinstance(fact, UnfitFact)}
    said = {told_as(fact, judgement) for fact in unfit}
    for node in every(nodes):
        assert node.sort != "unfit" or node.said in said


@settings(max_examples=WORLDS)
@given(worlds())
def test_why_shows_every_refusal_restriction_and_duty_on_the_way_of_the_judgement(world: tuple) -> None:
    answer = judged(world)
    judgement = answer.judgement
    found = why(answer)
    assert found.answer == judgement.outcome
    says_the_same(found.nodes, judgement)
    shown = {id(node.about) for node in every(found.nodes)}
    for refusal in judgement.refusals:
        assert refusal.against or id(refusal.finding or refusal.duty) in shown
    assert {node.said.removeprefix("against the move: ") for node in every(found.nodes) if node.sort == "against"} == {
        against_words(refusal.against) for refusal in judgement.refusals if refusal.against
    }
    direct = {id(node.about): node for node in found.nodes[0].because if isinstance(node.about, RestrictionInForce)}
    assert direct.keys() == {id(one) for one in judgement.restrictions}
    for one in judgement.restrictions:
        assert facts_of(direct[id(one)]) == Counter(told_as(fact, judgement) for fact in one.reasons)
    for one in judgement.on_the_way:
        assert id(one.duty or one.finding) in shown


@settings(max_examples=WORLDS)
@given(worlds())
def test_why_about_a_part_and_a_rule_says_its_finding(world: tuple) -> None:
    answer = judged(world)
    judgement = answer.judgement
    refused = [refusal for refusal in judgement.refusals if refusal.finding is not None][:3]
    for refusal in refused:
        finding = refusal.finding
        (node,) = why(answer, finding.part.key, finding.criterion.id).nodes
        assert node.about is finding
        assert says(node, finding.verdict)
        assert line(node, "stops").count(" and ") == (len(refusal.stops) > 1)
        reliefs = [id(one) for one in judgement.reliefs if one.criterion == finding.criterion.id]
        assert {id(one.about) for one in node.because if isinstance(one.about, Relief)} <= set(reliefs)
        says_the_same((node,), judgement)


@settings(max_examples=WORLDS)
@given(worlds())
def test_why_about_a_part_and_a_rule_says_each_of_its_duties(world: tuple) -> None:
    answer = judged(world)
    judgement = answer.judgement
    for part, rule in dict.fromkeys((duty.part.key, duty.consequence.id) for duty in judgement.duties):
        own = [duty for duty in judgement.duties if duty.part.key == part and duty.consequence.id == rule]
        nodes = why(answer, part, rule).nodes
        told = [node for node in nodes if isinstance(node.about, Duty) and node.about.part.key == part]
        assert Counter(id(node.about) for node in told) == Counter(id(duty) for duty in own)
        for node in told:
            expected = Counter(told_as(fact, judgement) for fact in causes_of(node.about.fact, judgement))
            if node.about.answered_by is not None and isinstance(node.about.answered_by, Evidence):
                expected[f"evidence {node.about.answered_by.id}"] += 1
            assert facts_of(node) == expected
        says_the_same(nodes, judgement)


@settings(max_examples=WORLDS)
@given(worlds())
def test_why_about_a_consequence_says_whether_it_followed_and_from_what(world: tuple) -> None:
    answer = judged(world)
    judgement = answer.judgement
    derived = [fact for firing in judgement.firings for fact in firing.followed]
    for rule in judgement.rulebook.consequences:
        firings = [firing for firing in judgement.firings if firing.consequence.id == rule.id]
        nodes = why(answer, None, rule.id).nodes
        says_the_same(nodes, judgement)
        missing = [node for node in nodes if node.said.startswith("does not follow")]
        assert bool(missing) != bool(firings)
        if firings and isinstance(rule.yields[0], Restricts):
            assert [node.about for node in nodes] == firings
            for node in nodes:
                assert facts_of(node) == Counter([told_as(node.about.cause, judgement)])
        for node in every(tuple(missing)):
            if node.said.startswith("nothing restricts the "):
                what = node.said.removeprefix("nothing restricts the ")
                repair = judgement.outcome == "repair move only"
                assert repair or not any(one.restriction.sort == what for one in judgement.restrictions)
            elif node.said == "no such duty is open":
                names = {name for cause in rule.causes if cause.sort == "duty" for name in cause.names}
                open_ = [duty for duty in judgement.duties if duty.state == "open"]
                assert not names or not any(duty.consequence.id in names for duty in open_)
            elif node.said.endswith(" is unfit") and node.said.startswith("no "):
                kinds = node.said.removeprefix("no ").removesuffix(" is unfit").split(" or ")
                unfit = [fact for fact in derived if isinstance(fact, UnfitFact)]
                assert not any(judgement.parts[fact.part].kind in kinds for fact in unfit)


def test_a_relief_whose_state_ends_on_the_way_is_told_by_what_ends_it() -> None:
    """The car is 50 years old on the third day of the move: on departure the state still holds."""
    built = OUT.replace(year=OUT.year - 50, day=OUT.day + 2)
    age = compare("car", "age", "under", Interval(Period(months=600)), owner="car")
    young = consequence("young", [cause("state", of="car", when=age)], relieves(criteria=("test/new",)))
    new = criterion("new", "car", compare("car", "age", "under", Interval(Period(months=12)), owner="car"))
    book = rulebook([new], [young])
    record = car_record([reading("car", "built_on", Day(built, built, built.isoformat()), OUT, sort="description")])
    judgement = judge(record, move(), book, OUT)
    answer = CheckAnswer(judgement, None, RulebookChoice(book, None, ()), OUT, ())
    assert not judgement.reliefs
    (node,) = why(answer, None, "test/young").nodes
    assert [reason.said for reason in node.because] == ["the car: the first condition that does not hold"]
    stays = replace(answer, judgement=judge(record, move(back=OUT), book, OUT))
    assert why(stays, None, "test/young").answer == "young"
