"""`judge`: one car, one move, one rulebook, one day → a judgement. Pure: the same inputs give the same answer."""

from collections.abc import Iterable
from datetime import date

from carknocker.judgement.chain import causes
from carknocker.judgement.chain.adapter import TRIES, EngineFailed, FactCollision
from carknocker.judgement.chain.conclude import concluder
from carknocker.judgement.chain.duties import fit_of
from carknocker.judgement.chain.evaluators import DurableEvaluator, Evaluator, Fired, PlainEvaluator, shared_matcher
from carknocker.judgement.chain.items import Item
from carknocker.judgement.chain.proof import prove
from carknocker.judgement.chain.rules import RuleIndex, Stage
from carknocker.judgement.chain.setting import Setting
from carknocker.judgement.criteria import PreparedRulebook, prepare
from carknocker.judgement.evidence import reasons_of, uncounted, voided_by
from carknocker.judgement.findings import findings_of
from carknocker.judgement.model import CannotJudge, Finding, Judgement, Relief, Voided
from carknocker.judgement.reliefs import left_by, reliefs_of, relieve, stopped_by
from carknocker.judgement.settle import settle
from carknocker.judgement.situation import Situation
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import Standing, stand
from carknocker.rulebook.model import Requires, Rulebook
from carknocker.vocabulary import load_vocabulary


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
            with matcher.session() as session:
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
        self._standing: Standing = stand(car, move, as_of)

    def judgement(self) -> Judgement:
        believed, situation, voided, first = self._evidence()
        findings = findings_of(self._prepared.criteria, situation, lambda: believed if voided else None)
        reliefs, third = self._relief(situation, findings)
        fourth, setting = self._chain(situation, findings, reliefs)
        return settle(
            self._car, self._move, self._rulebook, self._as_of, situation, findings, voided, reliefs,
            {"withdraws": first, "relieves": third, "chain": fourth}, setting,
        )  # fmt: skip

    def _evidence(self) -> tuple[Situation, Situation, dict[str, Voided], Fired]:
        """Stage 1: the situation before anything is void, the one after, what is void, and the firings."""
        not_counted = uncounted(self._standing)
        before = Situation(self._standing, self._move, not_counted)
        setting = self._setting(before)
        fired = self._run("withdraws", self._prepared.withdraws, causes.work_items(before, fitted_only=False), setting)
        voided = voided_by(fired, self._standing)
        if not voided:
            return before, before, voided, fired
        excluded = {**reasons_of(voided), **not_counted}
        return before, Situation(self._standing, self._move, excluded, before), voided, fired

    def _relief(self, situation: Situation, findings: list[Finding]) -> tuple[tuple[Relief, ...], Fired]:
        """Stage 3."""
        rules = self._prepared.relieves
        items: list[Item] = []
        if rules.rules:
            items = [
                *causes.work_items(situation, fitted_only=True),
                *causes.state_items(situation, rules),
                *causes.test_items(situation, self._vocabulary),
                *causes.leave_items(situation),
                *causes.finding_items(findings, rules),
            ]
        fired = self._run("relieves", rules, items, self._setting(situation))
        reliefs = reliefs_of(fired)
        relieve(findings, reliefs)
        return reliefs, fired

    def _chain(
        self, situation: Situation, findings: list[Finding], reliefs: tuple[Relief, ...]
    ) -> tuple[Fired, Setting]:
        """Stage 4. Where each duty needs a spare of its own, how many are needed is known only at the end: then the
        chain runs again with that number. It only grows, so this ends."""
        rules = self._prepared.chain
        unmet = [finding for finding in findings if finding.unmet]
        items = [
            *causes.work_items(situation, fitted_only=True),
            *causes.state_items(situation, rules),
            *causes.seen_items(situation, self._prepared.criteria, rules),
            *causes.finding_items(findings, rules),
            *causes.restriction_items(unmet, left_by(reliefs, unmet, "move")),
        ]
        unsound = _unsound(unmet, situation)
        stopped = stopped_by(reliefs)
        needs: dict[tuple[str, str, str], int] = {}
        while True:
            setting = self._setting(situation, stopped, unsound, needs)
            fired = self._run("chain", rules, items, setting)
            counted = _needs(fired, setting)
            if all(counted.get(key, 0) <= max(needs.get(key, 1), 1) for key in counted):
                return fired, setting
            needs = {key: max(counted.get(key, 0), needs.get(key, 0)) for key in counted.keys() | needs.keys()}

    def _setting(
        self,
        situation: Situation,
        stopped: frozenset[tuple[str, str]] = frozenset(),
        unsound: frozenset[str] = frozenset(),
        needs: dict[tuple[str, str, str], int] | None = None,
    ) -> Setting:
        prepared = self._prepared
        return Setting(situation, self._vocabulary, prepared.criteria_by_id, prepared.layers, stopped, unsound, needs)

    def _run(self, stage: Stage, rules: RuleIndex, items: list[Item], setting: Setting) -> Fired:
        conclude = concluder(setting)
        fired = self._evaluator.run(stage, rules, items, conclude)
        prove(fired, rules, items, conclude)
        return fired


def _unsound(findings: Iterable[Finding], situation: Situation) -> frozenset[str]:
    """Wheelsets that are not fitted and on or inside which a refusing finding stands."""
    unsound: set[str] = set()
    for finding in findings:
        if finding.part.fitted or not finding.unmet or finding.relieved or finding.criterion.effect != "refuse":
            continue
        wheelset = situation.owner(finding.part.key, "wheelset")
        unsound.add(wheelset if wheelset is not None else finding.part.key)
    return frozenset(unsound)


def _needs(fired: Fired, setting: Setting) -> dict[tuple[str, str, str], int]:
    """How many duties each consequence's yield has for parts of one fit, where each needs a spare of its own."""
    needs: dict[tuple[str, str, str], int] = {}
    each = {
        (rule.consequence.id, str(rule.yield_number)): rule.produces
        for rule, _, _ in fired.firings.values()
        if isinstance(rule.produces, Requires) and rule.produces.each
    }
    for name in fired.items:
        requires = each.get((name[1], name[2])) if name[0] == "duty" else None
        if requires is not None:
            key = (name[1], name[2], fit_of(requires, name[3], setting))
            needs[key] = needs.get(key, 0) + 1
    return needs
