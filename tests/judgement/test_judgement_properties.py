"""What must hold for any car under any rulebook: a worse reading, or one more criterion, never removes a refusal."""

from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_worlds import (
    FIGURES,
    OUT,
    REACH,
    cars,
    compare,
    criteria,
    criterion,
    figures,
    inches,
    move,
    rulebook,
    worlds,
)

from carknocker.judgement.judge import judge
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Comparison
from carknocker.wording.refusals import stated_words


def refused(judgement):
    """Every refusal by criterion or consequence and part, whatever the verdict behind it."""
    found = set()
    for refusal in judgement.refusals:
        if refusal.finding is not None:
            found.add((refusal.finding.criterion.id, refusal.finding.part.key))
        elif refusal.duty is not None:
            found.add((refusal.duty.consequence.id, refusal.duty.part.key))
        else:
            found.add(("against", stated_words(refusal.against)))
    return found


def one_sided(found):
    """Criteria of one comparison each, all on one side: only then is there a worse way for a figure to change."""
    return [one for one in found if isinstance(one.must, Comparison)]


@given(cars(nearly_ready=True), st.data())
def test_a_worse_reading_never_removes_a_refusal(car, data):
    names = {name: data.draw(st.sampled_from(["over", "at_least"])) for own in FIGURES.values() for name in own}
    book = rulebook(
        [
            criterion(f"{kind}-{name}", kind, compare(kind, name, names[name], data.draw(figures())))
            for kind, own in FIGURES.items()
            for name in own
        ],
        REACH,
    )
    measured = [one for one in car.evidence if isinstance(one.value, Figure)]
    chosen = data.draw(st.sampled_from(measured))
    quantity = chosen.value.quantity
    lower = quantity.n * 16 // quantity.d - data.draw(st.integers(1, 7))
    worse = replace(chosen, value=Figure(inches(lower)))
    changed = replace(car, evidence=tuple(worse if one is chosen else one for one in car.evidence))
    first = judge(car, move(), book, OUT)
    # a reading that was doubted for its size may be worse and doubted no longer
    assume(not any(chosen in one.touched for one in first.doubts))
    assert refused(first) <= refused(judge(changed, move(), book, OUT))


@given(worlds(), criteria())
def test_an_added_criterion_never_removes_a_refusal(world, added):
    car, one_move, book = world
    more = [replace(one, id=f"test/added-{one.name}", name=f"added-{one.name}") for one in added]
    bigger = rulebook([*book.criteria, *more], list(book.consequences))
    before = judge(car, one_move, book, OUT)
    after = judge(car, one_move, bigger, OUT)
    assert {name for name in refused(before) if name[0] != "against"} <= refused(after)


@given(worlds())
def test_the_same_inputs_give_the_same_judgement(world):
    car, one_move, book = world
    first, second = judge(car, one_move, book, OUT), judge(car, one_move, book, OUT)
    assert first.firings == second.firings
    assert first.restrictions == second.restrictions
    assert [(f.criterion.id, f.part.key, f.verdict) for f in first.findings] == [
        (f.criterion.id, f.part.key, f.verdict) for f in second.findings
    ]


@given(worlds(), st.randoms(use_true_random=False))
def test_the_order_of_consequences_and_work_changes_nothing(world, random):
    car, one_move, book = world
    shuffled = list(book.consequences)
    random.shuffle(shuffled)
    work = list(car.work)
    random.shuffle(work)
    other = judge(replace(car, work=tuple(work)), one_move, rulebook(list(book.criteria), shuffled), OUT)
    first = judge(car, one_move, book, OUT)
    assert refused(first) == refused(other)
    assert first.firings == other.firings
    assert first.outcome == other.outcome
