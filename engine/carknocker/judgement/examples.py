"""Worked examples of a criterion, judged by the same functions as a car."""

from carknocker.judgement.compiled import compile_criterion
from carknocker.judgement.example_car import example_standing
from carknocker.judgement.findings import judge_part
from carknocker.judgement.model import Finding
from carknocker.judgement.sight import Sight
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import UNKNOWN
from carknocker.record.model import Move
from carknocker.rulebook.model import Criterion, Example, Verdict
from carknocker.vocabulary import load_vocabulary


def judge_example(criterion: Criterion, example: Example) -> Verdict:
    """The verdict of a criterion on a worked example. An example that leaves open what `when` or `unless` asks is
    about a part to which the criterion applies; it knows no gauge, so that nothing is borderline."""
    return example_finding(criterion, example)[0].verdict


def example_finding(criterion: Criterion, example: Example) -> tuple[Finding, Sight, Move]:
    """The finding of which `judge_example` gives the verdict, a look at the part that it is about, and the move."""
    standing, move, key = example_standing(criterion, example, load_vocabulary())
    situation = Situation(standing, move, {})
    one = compile_criterion(criterion)
    sight = Sight(situation, key, situation.view(key), move.out)
    if one.when is not None and one.when(sight) == UNKNOWN:
        one = one.applying(when=False)
    if one.unless is not None and one.unless(sight) == UNKNOWN:
        one = one.applying(unless=False)
    return judge_part(one, standing.parts[key], situation, lambda: None), sight, move
