"""What must come back with a wheelset from the shop: papers, marks, and what the rules of the move want shown of it."""

from collections.abc import Iterable, Iterator

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.model import Judgement
from carknocker.questions.as_it_stood import as_it_stood
from carknocker.questions.fit import THINGS
from carknocker.questions.hypothetical.hypothetical import fitted_now
from carknocker.questions.plan.model import BOUGHT, Job
from carknocker.questions.plan.trial import Trials
from carknocker.questions.plan.work import new_serial
from carknocker.questions.sheets.sheet_model import SheetSection
from carknocker.questions.told import Told, may_apply
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.rulebook.model import Criterion
from carknocker.vocabulary import Attribute, load_vocabulary, work_to
from carknocker.wording.rules import rule_words

_BOX = "[  ]"
_PAPERS = (
    ("mounting", ("wheelset mounting check",), ("mounted_on", "mounted_by", "press_record")),
    ("bearings", (), ("bearing_applied_on", "bearing_applied_by", "reconditioned_on", "reconditioned_by", "applied_on",
                      "last_opened_on")),
    ("testing of the axle", ("axle crack test",), ()),
    ("anything modified", (), ("modified_from_standard", "modification_drawing", "modification_approved_by")),
)  # fmt: skip
"""Title, tests, and attributes that the paper tells (common practice)."""


def papers_with(answer: CheckAnswer, axles: Iterable[int]) -> SheetSection:
    """The lines to fill in, the papers first, and the rules that ask a shop to show something of such a wheelset."""
    numbers = tuple(axles)
    lines = (*_papers(), *_marks(answer.judgement, numbers))
    return SheetSection("What must come back with the wheelset", lines, tuple(map(rule_words, _rules(answer, numbers))))


def _papers() -> Iterator[Told]:
    vocabulary = load_vocabulary()
    for title, tests, names in _PAPERS:
        for test in tests:
            facts = ", ".join(fact.label for fact in vocabulary.tests[test].facts.values())
            yield Told(f"{title}: {test}", f"{_BOX} day, by whom, result{f', {facts}' if facts else ''}")
        for kind in THINGS:
            for attribute in vocabulary.kinds[kind].attributes.values():
                if attribute.name in names and attribute.description:
                    yield Told(f"{title}: {kind}: {attribute.label}", _BOX)


def _marks(judgement: Judgement, axles: tuple[int, ...]) -> Iterator[Told]:
    """What else a shop tells of a wheelset that the record has room for."""
    told_already = {name for _, _, names in _PAPERS for name in names}
    kinds = load_vocabulary().kinds
    for kind in THINGS:
        for attribute in kinds[kind].attributes.values():
            if attribute.only_where and not any(_may_apply(judgement, axle, attribute) for axle in axles):
                continue
            if attribute.description and "shop" in attribute.read_by and attribute.name not in told_already:
                yield Told(f"{kinds[kind].label}: {attribute.label}", _BOX)


def _may_apply(judgement: Judgement, axle: int, attribute: Attribute) -> bool:
    """Whether an attribute may be told of a wheelset like the one at the axle, or of one side of it."""
    fitted = f"wheelset {fitted_now(judgement.car)[axle]}"
    parts = (fitted, *judgement.situation.standing.inside.get(fitted, ()))
    own = [key for key in parts if judgement.parts[key].kind == attribute.kind]
    return any(may_apply(judgement, key, attribute) for key in own)


def _rules(answer: CheckAnswer, axles: tuple[int, ...]) -> tuple[Criterion, ...]:
    """Those that apply to the wheelset as it would be: rules about plain journals not, where no plain bearing may
    come."""
    judged = answer.judgement
    day = max(judged.move.out, answer.day)
    trials = Trials(as_it_stood(judged.car, answer.day), judged.move, judged.rulebook, day)
    renewed = work_to("renew a wheelset")
    jobs = [Job(renewed, (f"axle position {axle}",), BOUGHT) for axle in axles]
    new = {new_serial(job) for job in jobs}
    applying = {
        finding.criterion.id
        for finding in trials.trial(frozenset(jobs)).judgement.findings
        if finding.verdict != "not applicable" and thing_key_of_wheelset(finding.part.key) in new
    }
    return tuple(
        criterion
        for criterion in judged.rulebook.criteria
        if criterion.id in applying and (criterion.shown_by == "accepted shop" or _asks_for_paper(criterion))
    )


def _asks_for_paper(criterion: Criterion) -> bool:
    return any(one.path.attribute.type in ("test", "paper") for one in comparisons_in(criterion.must))
