"""The head of every sheet: outcome, day, move and the first signs of the digests, on each sheet of paper."""

from __future__ import annotations

import re

import pytest
from case_list import answer as case_answer
from case_list import library as case_library
from case_list import names
from msgspec.structs import replace
from pdf_samples import sheets

from carknocker.dossier.issue_digest import issue_digest
from carknocker.dossier.sheet_head import head_of, head_with_outcome
from carknocker.dossier.view import view_of
from carknocker.page.pdf.writer import pdf_of
from carknocker.page.sheet import sheet_page
from carknocker.questions.due.ask import due
from carknocker.questions.due.page import due_page
from carknocker.questions.place_wheels.ask import place_wheels
from carknocker.questions.place_wheels.page import place_wheels_page
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.page import plan_page
from carknocker.questions.request.ask import request
from carknocker.questions.request.page import request_page
from carknocker.questions.setout.ask import setout
from carknocker.questions.wheel_order.ask import wheel_order

PAGES = {
    "due": lambda answer: due_page(due(answer, case_library())),
    "place-wheels": lambda answer: place_wheels_page(place_wheels(answer)),
    "plan": lambda answer: plan_page(plan(answer)),
    "request": lambda answer: request_page(request(answer)),
    "setout": lambda answer: sheet_page(setout(answer)),
    "wheel-order": lambda answer: sheet_page(wheel_order(answer, None)),
}


@pytest.mark.parametrize("name", PAGES)
def test_every_sheet_of_a_room_names_the_issue_that_it_belongs_to(name: str) -> None:
    answer = case_answer("wren-hollow/before")
    printed = sheets(pdf_of([PAGES[name](answer)]))
    for sheet in printed:
        words = " ".join(sheet.split())
        assert "QWHX 27 Wren Hollow" in words
        assert "NOT READY: 5 items · as of 2026-10-08 · Kestrel & Northern, 2026-11-06 to 11-22" in words
        assert issue_digest(answer.judgement) in words


def test_the_head_beside_a_finding_says_its_outcome_and_the_finding_has_it_as_its_word() -> None:
    answer = case_answer("wren-hollow/before")
    told = head_of(answer).told
    assert told == "5 items · as of 2026-10-08 · Kestrel & Northern, 2026-11-06 to 11-22"
    assert head_with_outcome(answer) == replace(head_of(answer), told=f"NOT READY: {told}")


@pytest.mark.parametrize("name", names())
def test_every_head_counts_the_items_that_the_page_counts(name: str) -> None:
    answer = case_answer(name)
    number, told = view_of(answer).blocker_count, head_of(answer).told
    counted = re.match(r"(\d+) items? · as of ", told)
    assert (int(counted[1]) if counted else 0) == number
    assert told == head_of(answer, number).told
