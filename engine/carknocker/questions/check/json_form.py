"""The whole answer as JSON (`carknocker-dossier/1`); docs/json.md describes every key."""

from collections.abc import Sequence
from typing import Any

import msgspec

from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.model import Judgement
from carknocker.judgement.program import made_by
from carknocker.page.context import Context
from carknocker.page.json_encoder import encode
from carknocker.page.json_findings import finding_form
from carknocker.page.json_follows import (
    consequence_form,
    duty_form,
    on_the_way_form,
    refusal_form,
    relief_form,
    restriction_form,
    void_form,
)
from carknocker.page.json_text import digests_of, json_text
from carknocker.questions.check.evidence import history_of, papers_of, serials_of, sheets_of, signed_tests_of
from carknocker.questions.check.heading import outcome_line, regime_of
from carknocker.questions.check.view import summary_of, view_of
from carknocker.questions.check.worked_lines import worked_lines_of
from carknocker.questions.on_the_way.during import during_the_move

FORMAT = "carknocker-dossier/1"
FORMAT_OF_SEVERAL = "carknocker-dossiers/1"


def json_of(answers: Sequence[CheckAnswer]) -> str:
    """One answer as an object; several as an object that lists them. Ends in a line feed."""
    forms = [answer_form(answer) for answer in answers]
    whole = forms[0] if len(forms) == 1 else {"format": FORMAT_OF_SEVERAL, "dossiers": forms, "not_judged": []}
    return json_text(whole)


def answer_form(answer: CheckAnswer) -> dict[str, Any]:
    """One answer as plain data, keys in one fixed order."""
    judgement = answer.judgement
    context = Context(judgement, answer.day)
    summary = summary_of(judgement)
    return {
        "format": FORMAT,
        "outcome": judgement.outcome,
        "outcome_line": outcome_line(judgement, view_of(answer, context).blocker_count),
        "as_of": answer.day.isoformat(),
        "car": {"mark": judgement.car.mark, "name": judgement.car.name, "file": judgement.car.file},
        "move": _move_form(judgement),
        "regime": regime_of(judgement),
        "rulebook": _rulebook_form(answer),
        "notes": list(dict.fromkeys(answer.notes)),
        "summary": {
            "criteria": summary.criteria,
            "judged": summary.judged,
            "findings": summary.findings,
            "verdicts": dict(summary.verdicts),
        },
        "refusals": [refusal_form(refusal, context) for refusal in judgement.refusals],
        "findings": [finding_form(finding, context) for finding in judgement.findings],
        "consequences": [consequence_form(firing, context) for firing in judgement.firings],
        "restrictions": [restriction_form(one, context) for one in judgement.restrictions],
        "duties": [duty_form(duty, context) for duty in judgement.duties],
        "on_the_way": [on_the_way_form(one, context) for one in judgement.on_the_way],
        "during_the_move": msgspec.to_builtins(during_the_move(judgement)),
        "void_evidence": [void_form(one, context) for one in judgement.voided],
        "reliefs": [relief_form(relief, context) for relief in judgement.reliefs],
        **_appendix(context),
        "digests": _digests(judgement),
        "made_by": msgspec.to_builtins(made_by()),
    }


def _appendix(context: Context) -> dict[str, Any]:
    """What a stranger looks up, each as its own module tells."""
    parts = {
        "workings": worked_lines_of(context),
        "serials": serials_of(context),
        "history": history_of(context),
        "tests": signed_tests_of(context),
        "papers": papers_of(context),
        "sheets": sheets_of(context),
    }
    return {name: encode(part) for name, part in parts.items()}


def _move_form(judgement: Judgement) -> dict[str, Any]:
    move = judgement.move
    return {
        "host": move.host,
        "train": move.train,
        "out": move.out.isoformat(),
        "back": move.back.isoformat(),
        "rides": move.rides,
        "legs": [{"from": leg.start, "to": leg.end, "miles": str(leg.miles.amount)} for leg in move.legs],
        "file": move.file,
    }


def _rulebook_form(answer: CheckAnswer) -> dict[str, Any]:
    other = answer.other
    return {
        "editions": [
            {
                "ruleset": edition.ruleset,
                "edition": edition.name,
                "title": edition.title,
                "layer": edition.layer,
                "publisher": edition.publisher,
                "in_force": edition.in_force.isoformat(),
                "until": None if edition.until is None else edition.until.isoformat(),
                "checked": edition.checked.isoformat(),
                "days_since_check": (answer.day - edition.checked).days,
            }
            for edition in answer.judgement.rulebook.editions
        ],
        "other": None
        if other is None
        else {
            "outcome": other.outcome,
            "editions": [f"{edition.ruleset} {edition.name}" for edition in other.rulebook.editions],
            "digest": other.rulebook.digest,
        },
    }


def _digests(judgement: Judgement) -> dict[str, Any]:
    return {
        **digests_of(judgement),
        "editions": {f"{edition.ruleset} {edition.name}": edition.digest for edition in judgement.rulebook.editions},
    }
