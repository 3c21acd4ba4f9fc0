"""The items that keep a car from moving, in one order on every page: faults, what nobody measured, spares, the move."""

from __future__ import annotations

import pytest
from case_list import answer

from carknocker.dossier.items import fault_text, items_of
from carknocker.dossier.json_form import answer_form
from carknocker.dossier.missing import Missing
from carknocker.dossier.view import view_of
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.check.fleet_page import line_of
from carknocker.questions.check.sheets.fault_numbers import number_of_the_missing


def told(name: str) -> list[str]:
    items = items_of(JudgementIndex(answer(name).judgement)).in_order
    return [
        "missing" if isinstance(one, Missing) else "spare" if one.spare else one.verdict for one in items
    ]  # fmt: skip


def test_what_nobody_measured_comes_before_spares_and_the_move_last():
    assert told("nothing-measured") == ["missing", "spare", "spare", "spare", "spare", "against the move"]


def test_faults_come_before_spares():
    assert told("wren-hollow/before") == ["breached", "breached", "lapses", "void", "spare"]


@pytest.mark.parametrize("name", ["nothing-measured", "wren-hollow/before"])
def test_every_page_has_them_in_this_order(name):
    found = answer(name)
    items = items_of(JudgementIndex(found.judgement)).in_order
    wanted = [fault_text(one) for one in items]
    assert [one["fault"] for one in answer_form(found)["faults"]] == wanted
    assert list(line_of(found).blockers) == wanted
    assert number_of_the_missing(view_of(found)) == (1 if name == "nothing-measured" else 0)
