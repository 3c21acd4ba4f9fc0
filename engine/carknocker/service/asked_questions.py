"""The questions of the command line about one car and move, each answered by its very functions. Runs in worker
processes."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

import msgspec

from carknocker.cli.options import Format
from carknocker.cli.output import encoded, text_in
from carknocker.judgement.answer import CheckAnswer
from carknocker.page.model import Page
from carknocker.rulebook.library import Library
from carknocker.service.asked import MEDIA_TYPES, Form, Said, Sources, checked, in_brief, in_plain_words, library_of

if TYPE_CHECKING:
    from carknocker.forms import Form as WorksheetForm
    from carknocker.questions.why.model import WhyAnswer

Options: TypeAlias = tuple[tuple[str, str], ...]
"""What else a question is told, by name."""


def answered(
    question: str, sources: Sources, form: Form, options: Options = (),
    copies: tuple[tuple[str, bytes], ...] = (),
) -> Said:  # fmt: skip
    """The answer to a question, by its name on the command line. copies: of the photographs that a page of the car
    shows. Raises Refused."""
    with in_plain_words():
        answer = checked(sources)
        page, json = _QUESTIONS[question](answer, library_of(sources.editions), options)
        if copies:
            page = partial(_dossier, answer, copies)
        return Said(written(page, json, form), MEDIA_TYPES[form], in_brief(answer))


def compared(before: Sources, after: Sources, form: Form) -> Said:
    """What changed between two versions. Raises Refused."""
    from carknocker.questions.compare.page import compare_page
    from carknocker.whatif.differences.compare import compare
    from carknocker.whatif.differences.json_form import compare_json

    with in_plain_words():
        answer = compare(checked(before), checked(after))
        body = written(lambda: compare_page(answer), lambda: compare_json(answer), form)
        return Said(body, MEDIA_TYPES[form], in_brief(answer.after))


MakePage: TypeAlias = Callable[[], Page | Sequence[Page]]
MakeJson: TypeAlias = Callable[[], str]
Made: TypeAlias = tuple[MakePage, MakeJson]


def _check(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.dossier.json_form import json_of
    from carknocker.questions.check.dossier_page import dossier_page

    return lambda: dossier_page(answer, drawn=True), lambda: json_of([answer])


def _dossier(answer: CheckAnswer, copies: tuple[tuple[str, bytes], ...]) -> Page:
    from carknocker.cli.photographs import small_pictures
    from carknocker.questions.check.dossier_page import dossier_page

    return dossier_page(answer, drawn=True, pictures=small_pictures(copies))


def _appendix(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.dossier.json_form import appendix_json_of
    from carknocker.questions.check.appendix_page import appendix_page
    from carknocker.wording.next_steps import BY_PAGE

    return lambda: appendix_page(answer, drawn=True, steps=BY_PAGE), lambda: appendix_json_of(
        [answer], everything=False
    )


def why_answer(answer: CheckAnswer, library: Library, part: str, requirement: str) -> "WhyAnswer":
    """Why it is so; of the whole car also what would make it otherwise."""
    from carknocker.questions.why.ask import why
    from carknocker.whatif.otherwise import otherwise

    said = why(answer, part or None, requirement or None)
    return said if part or requirement else msgspec.structs.replace(said, otherwise=otherwise(answer, library))


def _why(answer: CheckAnswer, library: Library, options: Options) -> Made:
    from carknocker.questions.why.json_form import why_json
    from carknocker.questions.why.page import why_page
    from carknocker.wording.next_steps import BY_PAGE

    told = dict(options)
    part, requirement = told.get("part", ""), told.get("requirement", "")
    said = why_answer(answer, library, part, requirement)
    return lambda: why_page(said, BY_PAGE), lambda: why_json(said)


def _due(answer: CheckAnswer, library: Library, _options: Options) -> Made:
    from carknocker.questions.due.ask import due
    from carknocker.questions.due.json_form import due_json
    from carknocker.questions.due.page import due_page
    from carknocker.wording.next_steps import BY_PAGE

    said = due(answer, library)
    return lambda: due_page(said, BY_PAGE), lambda: due_json(said)


def _plan(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.questions.plan.ask import plan
    from carknocker.questions.plan.json_form import plan_json
    from carknocker.questions.plan.page import plan_page
    from carknocker.wording.next_steps import BY_PAGE

    said = plan(answer)
    return lambda: plan_page(said, BY_PAGE), lambda: plan_json(said)


def _figures(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.questions.figures.ask import figures_of
    from carknocker.questions.figures.json_form import figures_json
    from carknocker.questions.figures.page import figures_page

    judgement = answer.judgement
    said = figures_of(judgement.car, answer.day, judgement.situation, judgement)
    return lambda: figures_page(said), lambda: figures_json(said)


def _spares(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.questions.spares.ask import spares
    from carknocker.questions.spares.json_form import spares_json
    from carknocker.questions.spares.page import spares_page

    said = spares(answer)
    return lambda: spares_page(said), lambda: spares_json(said)


def _place_wheels(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.questions.place_wheels.ask import place_wheels
    from carknocker.questions.place_wheels.json_form import place_wheels_json
    from carknocker.questions.place_wheels.page import place_wheels_page

    said = place_wheels(answer)
    return lambda: place_wheels_page(said), lambda: place_wheels_json(said)


def _request(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.page.sheet import sheet_json
    from carknocker.questions.request.ask import request
    from carknocker.questions.request.command import FORMAT
    from carknocker.questions.request.page import request_page

    said = request(answer)
    return lambda: request_page(said), lambda: sheet_json(FORMAT, said)


def _setout(answer: CheckAnswer, _library: Library, _options: Options) -> Made:
    from carknocker.page.sheet import sheet_json, sheet_page
    from carknocker.questions.setout.ask import setout
    from carknocker.questions.setout.command import FORMAT

    said = setout(answer)
    return lambda: sheet_page(said), lambda: sheet_json(FORMAT, said)


def _wheel_order(answer: CheckAnswer, _library: Library, options: Options) -> Made:
    from carknocker.page.sheet import sheet_json, sheet_page
    from carknocker.questions.wheel_order.ask import wheel_order
    from carknocker.questions.wheel_order.command import FORMAT

    axle = dict(options).get("axle", "")
    said = wheel_order(answer, int(axle) if axle else None)
    return lambda: sheet_page(said), lambda: sheet_json(FORMAT, said)


def _tag(answer: CheckAnswer, _library: Library, options: Options) -> Made:
    from carknocker.questions.tag.ask import TagGiven, tag_of
    from carknocker.questions.tag.json_form import tag_json
    from carknocker.questions.tag.page import tag_pages

    told = dict(options)
    given = (told.get(key, "") for key in ("inspector", "location", "inspected_on", "destination"))
    said = tag_of(answer, TagGiven(*given))
    return lambda: tag_pages(said), lambda: tag_json(said)


def _worksheet(answer: CheckAnswer, _library: Library, options: Options) -> Made:
    from carknocker.questions.worksheet.json_form import worksheet_json
    from carknocker.questions.worksheet.page import worksheet_page

    said = worksheet_of(answer, options)
    return lambda: worksheet_page(said), lambda: worksheet_json(said)


def worksheet_of(answer: CheckAnswer, options: Options) -> "WorksheetForm":
    """The form of the readings that are wanted: with `before_departure` also what is for the host's inspector, with
    `advised` what is only advised, with `sheet` that one alone. Raises Refused for a sheet that it has not."""
    from carknocker.forms.one_sheet import with_one_sheet
    from carknocker.questions.worksheet.ask import worksheet

    told = dict(options)
    made = worksheet(answer, before_departure="before_departure" in told, advised="advised" in told)
    return with_one_sheet(made, told["sheet"]) if told.get("sheet") else made


_QUESTIONS: dict[str, Callable[[CheckAnswer, Library, Options], Made]] = {
    "check": _check,
    "appendix": _appendix,
    "why": _why,
    "due": _due,
    "plan": _plan,
    "figures": _figures,
    "spares": _spares,
    "place-wheels": _place_wheels,
    "request": _request,
    "setout": _setout,
    "wheel-order": _wheel_order,
    "tag": _tag,
    "worksheet": _worksheet,
}
QUESTIONS = tuple(_QUESTIONS)
"""Every question that is answered so, by its name on the command line."""


def written(make_page: MakePage, make_json: MakeJson, form: Form) -> bytes:
    """An answer in a form, by the writers of the command line."""
    if form == "json":
        return encoded(make_json())
    made = make_page()
    pages = [made] if isinstance(made, Page) else list(made)
    if form == "pdf":
        from carknocker.page.pdf.writer import pdf_of

        return pdf_of(pages)
    return encoded(text_in(Format(form), pages))
