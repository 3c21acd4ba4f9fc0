"""`judge`: one car, one move, one rulebook, one day → a judgement. Pure: the same inputs give the same answer."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date

import msgspec

from carknocker.judgement.assemble import assemble
from carknocker.judgement.chain import causes
from carknocker.judgement.chain.adapter import TRIES, EngineFailed, FactCollision
from carknocker.judgement.chain.conclusions import concluder
from carknocker.judgement.chain.duties import spare_need
from carknocker.judgement.chain.fixed_point import (
    DurableEvaluator,
    Evaluator,
    Fired,
    PlainEvaluator,
    prove,
    shared_matcher,
)
from carknocker.judgement.chain.rules import RuleIndex, Stage
from carknocker.judgement.chain.stage_context import NONE_STOPPED, NotCovered, SpareNeed, StageContext, Stopped
from carknocker.judgement.doubts import StandingDoubt, doubts_of, reasons_of_doubts
from carknocker.judgement.evidence import reasons_of, uncounted, voided_by
from carknocker.judgement.facts import ChainFact, DutyFact
from carknocker.judgement.findings import Findings, findings_of
from carknocker.judgement.found_later import PermissionsSigned
from carknocker.judgement.model import CannotJudge, Finding, FoundLater, Judgement, Relief, Voided
from carknocker.judgement.prepared_rulebook import PreparedRulebook, prepare
from carknocker.judgement.refused_tests import RefusedTest, refused_tests, with_failed
from carknocker.judgement.reliefs import left_by, reliefs_of, relieve, stopped_by
from carknocker.judgement.set_aside import SetAside
from carknocker.judgement.situation import Situation
from carknocker.judgement.worse_findings import worse_as_said
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import Standing, car_on_day, stand
from carknocker.rulebook.model import Requires, Rulebook
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.program_names import WHEELSET


def judge(
    car: CarRecord, move: Move, rulebook: Rulebook, as_of: date, *, evaluator: Evaluator | None = None
) -> Judgement:
    """The judgement in its five stages: evidence, findings, relief, chain, outcome.

    evaluator: who chains; by default durable-rules where it can be imported, else the plain evaluator. Either gives
    the same judgement. Raises CannotJudge where the chain can't be proven or a refusal does not reach the car.
    """
    if evaluator is not None:
        return _Stages(car, move, rulebook, as_of, evaluator).judgement()
    matcher = shared_matcher()
    if matcher is None:
        return _Stages(car, move, rulebook, as_of, PlainEvaluator()).judgement()
    for attempt in range(TRIES):
        try:
            with matcher.session(rulebook) as session:
                return _Stages(car, move, rulebook, as_of, DurableEvaluator(session)).judgement()
        except FactCollision as error:
            if attempt == TRIES - 1:
                raise CannotJudge(f"the engine took two different facts for one: {error}") from error
        except EngineFailed as error:
            raise CannotJudge(str(error)) from error
    raise CannotJudge("the engine gave no answer")


class _Stages:
    """One run through the stages. Each method reads only what the ones before it have settled."""

    def __init__(self, car: CarRecord, move: Move, rulebook: Rulebook, as_of: date, evaluator: Evaluator) -> None:
        self._car, self._move, self._rulebook, self._as_of = car, move, rulebook, as_of
        self._evaluator = evaluator
        self._vocabulary = load_vocabulary()
        self._prepared: PreparedRulebook = prepare(rulebook)
        self._not_counted = uncounted(car_on_day(car, as_of))
        self._refused: tuple[RefusedTest, ...] = ()
        self._standing: Standing = stand(car, move, as_of, self._not_counted)

    def judgement(self) -> Judgement:
        seen, voided, first = self._evidence()
        situation, as_said = seen.situation, seen.as_said
        findings = findings_of(self._prepared.criteria, situation, lambda: seen.unvoided() if voided else None)
        better: tuple[Finding, ...] = ()
        if as_said is not None:
            findings, better = worse_as_said(
                findings, self._prepared.criteria, as_said, lambda: seen.unvoided_as_said() if voided else None,
                seen.doubts, seen.only_against,
            )  # fmt: skip
        reliefs, only_said, found_later, third = self._relief(situation, as_said, findings, better, voided)
        fourth, context = self._chain(situation, as_said, findings, reliefs, only_said)
        return assemble(
            self._car, self._move, self._rulebook, self._as_of, situation, findings, voided, reliefs,
            {"voids": first, "relieves": third, "chain": fourth}, context, seen.doubts, as_said, only_said,
            self._refused, found_later,
        )  # fmt: skip

    def _evidence(self) -> tuple["_Seen", dict[str, Voided], Fired]:
        """Stage 1: what may be believed, what is void, and the firings."""
        not_counted = self._not_counted
        before = Situation(self._standing, self._move, not_counted)
        self._refused = refused_tests(before, self._prepared.criteria)
        if self._refused:
            self._standing = with_failed(self._standing, self._refused)
            before = Situation(self._standing, self._move, not_counted)
        context = self._context(before)
        fired = self._run("voids", self._prepared.voids, causes.work_facts(before, fitted_only=False), context)
        voided = voided_by(fired, self._standing, self._prepared.mending)
        void = reasons_of(voided)
        aside = {**void, **not_counted}
        counted = Situation(self._standing, self._move, aside, before) if voided else before
        doubts = doubts_of(counted, self._prepared.mending, self._prepared.limits)
        doubtful = reasons_of_doubts(doubts, counted) if doubts else {}
        standing = self._standing
        if voided or doubtful:
            standing = stand(self._car, self._move, self._as_of, {**doubtful, **aside})
            standing = with_failed(standing, self._refused)
        if standing.on_day is not self._standing.on_day:
            # a number that is set aside no longer says that all its parts are listed
            self._standing = standing
            before = Situation(standing, self._move, not_counted)
            counted = Situation(standing, self._move, aside)
        if not doubts and not not_counted:
            return _Seen(counted, None, lambda: before, lambda: before), voided, fired
        situation = _without(counted, doubtful)
        as_said = Situation(self._standing, self._move, void)
        nothing_void = Situation(self._standing, self._move, {}) if voided else as_said
        return (
            _Seen(
                situation,
                as_said,
                lambda: _without(before, doubtful),
                lambda: nothing_void,
                doubts,
                frozenset((*not_counted, *doubtful)),
            ),
            voided,
            fired,
        )

    def _relief(
        self, situation: Situation, as_said: Situation | None, findings: Findings, better: tuple[Finding, ...],
        voided: Mapping[str, Voided],
    ) -> tuple[tuple[Relief, ...], tuple[Relief, ...], tuple[FoundLater, ...], Fired]:  # fmt: skip
        """Stage 3: what is relieved; the reliefs that only the record as it stands grants, which relieve nothing while
        what they leave burdens; what permissions came too early for; and the firings. better: findings that the record
        as it stands says better."""
        rules = self._prepared.relieves
        facts = self._relief_facts(situation, findings.every)
        fired = self._run("relieves", rules, facts, self._context(situation))
        reliefs = reliefs_of(fired)
        found_later: tuple[FoundLater, ...] = ()
        if any(one.leave is not None for one in reliefs):
            signed = PermissionsSigned(self._prepared.criteria, voided, self._prepared.mending)
            found_later = signed.found_later(reliefs, findings.unmet, situation, as_said)
        not_covered = frozenset((one.leave.id, one.criterion, one.part) for one in found_later)
        if not_covered:
            fired = self._run("relieves", rules, facts, self._context(situation, not_covered=not_covered))
            reliefs = reliefs_of(fired)
        only_said: tuple[Relief, ...] = ()
        if as_said is not None and rules.rules:
            said = {(one.criterion.id, one.part.key): one for one in better}
            every = (
                [said.get((one.criterion.id, one.part.key), one) for one in findings.every] if said else findings.every
            )
            more = self._relief_facts(as_said, every)
            if not {(one.fact, one.verdict) for one in more} <= {(one.fact, one.verdict) for one in facts}:
                context = self._context(as_said, not_covered=not_covered)
                granted = reliefs_of(self._run("relieves", rules, more, context))
                only_said = tuple(one for one in granted if one not in reliefs)
        relieve(findings.unmet, reliefs, situation.standing)
        return reliefs, only_said, found_later, fired

    def _relief_facts(self, situation: Situation, findings: list[Finding]) -> list[ChainFact]:
        rules = self._prepared.relieves
        if not rules.rules:
            return []
        return [
            *causes.work_facts(situation, fitted_only=True),
            *causes.state_facts(situation, rules),
            *(causes.test_facts(situation, self._vocabulary) if "test" in rules.by_sort else ()),
            *(causes.leave_facts(situation) if "leave" in rules.by_sort else ()),
            *causes.finding_facts(findings, [one for one in findings if one.unmet], rules),
        ]

    def _chain(
        self, situation: Situation, as_said: Situation | None, findings: Findings, reliefs: tuple[Relief, ...],
        only_said: tuple[Relief, ...],
    ) -> tuple[Fired, StageContext]:  # fmt: skip
        """Stage 4. What counts only against the car burdens as it stands. Where each duty needs a spare of its own, how
        many are needed is known only at the end: then the chain runs again with that number. It only grows, so this
        ends."""
        rules = self._prepared.chain
        facts = [
            *causes.work_facts(situation, fitted_only=True),
            *_once(causes.state_facts(situation, rules), [] if as_said is None else causes.state_facts(as_said, rules)),
            *causes.seen_facts(situation, self._prepared.criteria, rules),
            *causes.finding_facts(findings.every, findings.unmet, rules),
            *causes.restriction_facts(findings.unmet, left_by((*reliefs, *only_said), findings.unmet, "move")),
        ]
        unsound = _unsound(findings.unmet, situation)
        stopped = stopped_by(reliefs)
        needs: dict[SpareNeed, int] = {}
        while True:
            context = self._context(situation, stopped, unsound, needs)
            fired = self._run("chain", rules, facts, context)
            counted = _needs(fired, context)
            if all(counted.get(key, 0) <= max(needs.get(key, 1), 1) for key in counted):
                return fired, context
            needs = {key: max(counted.get(key, 0), needs.get(key, 0)) for key in counted.keys() | needs.keys()}

    def _context(
        self,
        situation: Situation,
        stopped: Stopped = NONE_STOPPED,
        unsound: frozenset[str] = frozenset(),
        needs: dict[SpareNeed, int] | None = None,
        not_covered: NotCovered = frozenset(),
    ) -> StageContext:
        prepared = self._prepared
        return StageContext(
            situation, self._vocabulary, prepared.criteria_by_id, prepared.layers, stopped, unsound, needs, not_covered
        )

    def _run(self, stage: Stage, rules: RuleIndex, facts: list[ChainFact], context: StageContext) -> Fired:
        conclude = concluder(context)
        fired = self._evaluator.run(stage, rules, facts, conclude)
        prove(fired, rules, facts, conclude)
        return fired


class _Seen(msgspec.Struct, frozen=True):
    """What may be believed. situation: without what counts only against the car. as_said: with it; None where that is
    nothing. unvoided, unvoided_as_said: each of the two as if nothing were void. only_against: the ids of what counts
    only against the car, void or not."""

    situation: Situation
    as_said: Situation | None
    unvoided: Callable[[], Situation]
    unvoided_as_said: Callable[[], Situation]
    doubts: tuple[StandingDoubt, ...] = ()
    only_against: frozenset[str] = frozenset()


def _without(before: Situation, doubtful: Mapping[str, SetAside]) -> Situation:
    if not doubtful:
        return before
    return Situation(before.standing, before.move, {**doubtful, **before.excluded}, before)


def _once(facts: list[ChainFact], more: list[ChainFact]) -> list[ChainFact]:
    """The facts of both lists, each once."""
    if not more:
        return facts
    known = {one.fact for one in facts}
    return [*facts, *(one for one in more if one.fact not in known)]


def _unsound(findings: Iterable[Finding], situation: Situation) -> frozenset[str]:
    """Wheelsets that are not fitted and on or inside which a refusing finding stands."""
    unsound: set[str] = set()
    for finding in findings:
        if finding.part.fitted or not finding.unmet or finding.relieved or finding.effect != "refuse":
            continue
        wheelset = situation.owner(finding.part.key, WHEELSET)
        unsound.add(wheelset if wheelset is not None else finding.part.key)
    return frozenset(unsound)


def _needs(fired: Fired, context: StageContext) -> dict[SpareNeed, int]:
    """How many duties each consequence's yield has for parts of one fit, where each needs a spare of its own."""
    needs: dict[SpareNeed, int] = {}
    counted: set[DutyFact] = set()
    for rule, _, followed in fired.firings.values():
        if not isinstance(rule.produces, Requires) or not rule.produces.each:
            continue
        for one in followed:
            if isinstance(one.fact, DutyFact) and one.fact not in counted:
                counted.add(one.fact)
                need = spare_need(one.fact, rule.produces, context)
                needs[need] = needs.get(need, 0) + 1
    return needs
