"""What the host may let pass by a permission in writing: as far as the rulebook lets it."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.model import Judgement, Refusal
from carknocker.judgement.part_view import PartView
from carknocker.judgement.truth import NEAR
from carknocker.rulebook.model import Consequence, Layer, Relieves


class Permission(msgspec.Struct, frozen=True):
    """A written permission that a rule lets the host give. purpose: to make the move, or only to move for repair."""

    rule: Consequence
    purpose: Literal["move", "repair"]


class Permissions:
    """The permissions that the host could give for the move of one judgement."""

    def __init__(self, judgement: Judgement) -> None:
        self._found = tuple(_on_leave(judgement))

    def of(self, refusal: Refusal) -> Permission | None:
        """The permission that could clear a refusal, one for the whole move before one for repair; None where the rules
        at hand allow none. Against a restriction of the move there is none: the car is restricted, not refused."""
        may = [Permission(rule, one.purpose) for rule, one in self._found if _may_clear(rule, one, refusal)]
        whole = next((one for one in may if one.purpose == "move"), None)
        return whole or (None if refusal.repair else next(iter(may), None))


def _on_leave(judgement: Judgement) -> Iterator[tuple[Consequence, Relieves]]:
    """What relieves, on a written permission, the rule that it names, under rules that hold for this move."""
    situation = judgement.situation
    sight = PartView(situation, "car", situation.values_of("car"), judgement.move.out)
    for rule in judgement.rulebook.consequences:
        if any(cause.sort == "leave" and cause.when is None for cause in rule.causes) and (
            rule.when is None or clause_test(rule.when)(sight) >= NEAR
        ):
            yield from ((rule, one) for one in rule.yields if isinstance(one, Relieves) and one.named)


def _may_clear(rule: Consequence, relieves: Relieves, refusal: Refusal) -> bool:
    finding, duty = refusal.finding, refusal.duty
    if finding is not None:
        criterion = finding.criterion
        return relieves.of in ("", criterion.of) and _may_name(rule, criterion.layer, criterion.relieved_by_law_alone)
    if duty is None or relieves.of:
        return False
    return _may_name(rule, duty.consequence.layer, duty.consequence.layer == "law")


def _may_name(rule: Consequence, layer: Layer, law_alone: bool) -> bool:
    """Whether a permission under a rule may name one of a layer: under the law's any, under a host's only his own."""
    return rule.layer == "law" or layer == "host" or (rule.layer == "trade" and not law_alone)
