"""The whole answer as plain data: strings and tuples in the order in which a page shows them."""

from typing import get_args

import msgspec

from carknocker.dossier.bad_news import bad_news_that_passes
from carknocker.dossier.during_the_move import LapsingDay, lapses_of, on_the_way_of
from carknocker.dossier.first_page import Statement, first_page_of
from carknocker.dossier.heading import EditionLine, edition_lines, move_rows, outcome_line, regime_of
from carknocker.dossier.inspector import InspectorItem, inspector_items
from carknocker.dossier.items import Items, items_of
from carknocker.dossier.looked_at import not_yet_looked_at
from carknocker.dossier.missing import Missing, missing_of
from carknocker.dossier.not_refusing import advice_of, advised_duties, borderline_of, relieved_of, spares_of, void_of
from carknocker.dossier.photographs import PhotographOnRecord, photographs_of
from carknocker.dossier.restrictions import RestrictionGroup, restricted_to, restrictions_of
from carknocker.dossier.sources import SourceList, sources_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement, Outcome
from carknocker.page.model import Entry
from carknocker.rulebook.model import Verdict
from carknocker.wording.cautions import cautions_for
from carknocker.wording.parts import car_title
from carknocker.wording.phrases import counted

VERDICTS: tuple[Verdict, ...] = get_args(Verdict)


class Summary(msgspec.Struct, frozen=True):
    """criteria: in the rulebook. judged: criteria on kinds of part that the car has. findings: results, one per
    criterion and part.

    verdicts: verdict → number of findings, in one fixed order, zeros included.
    """

    criteria: int
    judged: int
    findings: int
    verdicts: tuple[tuple[str, int], ...]
    sentence: str


def summary_of(judgement: Judgement) -> Summary:
    """The summary of one judgement."""
    counts = {verdict: 0 for verdict in VERDICTS}
    for finding in judgement.findings:
        counts[finding.verdict] += 1
    criteria = len(judgement.rulebook.criteria)
    judged = len({finding.criterion.id for finding in judgement.findings})
    total = len(judgement.findings)
    listed = ", ".join(f"{number:,} {verdict}" for verdict, number in counts.items() if number)
    words = f"{counted(criteria, 'requirement')}, {judged:,} with a part on this car to look at"
    sentence = f"{words}. {counted(total, 'finding')}: {listed or 'none'}."
    return Summary(criteria, judged, total, tuple(counts.items()), sentence)


class View(msgspec.Struct, frozen=True):
    """One dossier, in the order of a page.

    restricted: what a car that may move is restricted to, in few words. items: all that keeps the car from moving.
    borderline, advice, relieved, void, spares: entries with one title and lines below it. What only a long page needs
    is in the appendix.
    """

    outcome: Outcome
    outcome_line: str
    restricted: str
    complete: bool
    first_page: tuple[Statement, ...]
    car: str
    move: tuple[tuple[str, str], ...]
    regime: str
    rulebook: tuple[EditionLine, ...]
    notes: tuple[str, ...]
    items: Items
    restrictions: tuple[RestrictionGroup, ...]
    on_the_way: tuple[Entry, ...]
    lapses: tuple[LapsingDay, ...]
    borderline: tuple[Entry, ...]
    advice: tuple[Entry, ...]
    advice_missing: Missing | None
    relieved: tuple[Entry, ...]
    void: tuple[Entry, ...]
    spares: tuple[Entry, ...]
    photographs: tuple[PhotographOnRecord, ...]
    for_the_inspector: tuple[InspectorItem, ...]
    summary: Summary
    sources: SourceList
    cautions: tuple[str, ...]

    @property
    def blocker_count(self) -> int:
        """How many items keep the car from moving; all that is not shown counts as one."""
        return len(self.items.in_order)


def _is_silent_about_bad_news(index: JudgementIndex) -> bool:
    """Whether a car is ready with bad news on record about which no rule at hand asks."""
    if index.judgement.outcome not in ("ready", "ready with restrictions"):
        return False
    return any(one.standing == "not asked" for one in bad_news_that_passes(index))


def view_of(answer: CheckAnswer, index: JudgementIndex | None = None) -> View:
    """The view of an answer. A pure function of it. index: of the same judgement, if one has been made already."""
    judgement = answer.judgement
    index = index or JudgementIndex(judgement)
    items = items_of(index)
    restrictions, restricted = restrictions_of(index), restricted_to(index)
    on_the_way = on_the_way_of(index)
    advised = [
        finding
        for finding in judgement.findings
        if finding.unmet and not finding.relieved and finding.part.fitted and finding.effect == "advise"
    ]
    return View(
        outcome=judgement.outcome,
        outcome_line=outcome_line(
            judgement,
            len(items.in_order),
            not_yet_looked_at(index),
            restricted=restricted,
            bad_news=_is_silent_about_bad_news(index),
        ),
        restricted=restricted,
        complete=answer.complete,
        first_page=first_page_of(index),
        car=_car_words(judgement),
        move=move_rows(judgement, answer.day),
        regime=regime_of(judgement),
        rulebook=edition_lines(judgement, answer.day),
        notes=tuple(dict.fromkeys(answer.notes)),
        items=items,
        restrictions=restrictions,
        on_the_way=on_the_way,
        lapses=lapses_of(index),
        borderline=borderline_of(index),
        advice=(
            *advice_of([finding for finding in advised if finding.verdict != "not shown"], index),
            *advised_duties(index),
        ),
        advice_missing=missing_of([finding for finding in advised if finding.verdict == "not shown"], index),
        relieved=relieved_of(index),
        void=void_of(index),
        spares=spares_of(index),
        photographs=photographs_of(index),
        for_the_inspector=inspector_items(index),
        summary=summary_of(judgement),
        sources=sources_of(index),
        cautions=cautions_for(judgement),
    )


def _car_words(judgement: Judgement) -> str:
    return car_title(judgement.car)
