"""All that a stranger looks up after the first page, as plain data. Only long pages and JSON need it."""

import msgspec

from carknocker.dossier.check.appendix.every_criterion import (
    KindRows,
    every_criterion_of,
    not_applying_of,
)
from carknocker.dossier.check.appendix.history import HistoryRow, history_of
from carknocker.dossier.check.appendix.rules_applied import RuleApplied, rules_applied_of
from carknocker.dossier.check.appendix.serials import SerialRow, serials_of
from carknocker.dossier.check.appendix.sheets import SheetRow, sheets_of
from carknocker.dossier.check.appendix.signed_tests import PaperOnRecord, SignedTest, papers_of, signed_tests_of
from carknocker.dossier.check.digests import Recheck, recheck_of
from carknocker.dossier.check.entries import Entry
from carknocker.dossier.check.worked_lines import worked_lines_of
from carknocker.dossier.context import Context


class Appendix(msgspec.Struct, frozen=True):
    """Each part as its own module tells. file: the car record, whose lines are named by number alone."""

    file: str
    criteria: tuple[KindRows, ...]
    not_applying: tuple[Entry, ...]
    workings: tuple[Entry, ...]
    serials: tuple[SerialRow, ...]
    history: tuple[HistoryRow, ...]
    tests: tuple[SignedTest, ...]
    papers: tuple[PaperOnRecord, ...]
    sheets: tuple[SheetRow, ...]
    rules: tuple[RuleApplied, ...]
    recheck: Recheck


def appendix_of(context: Context) -> Appendix:
    """The appendix of one judgement. A pure function of it."""
    return Appendix(
        file=context.judgement.car.file,
        criteria=every_criterion_of(context),
        not_applying=not_applying_of(context),
        workings=worked_lines_of(context),
        serials=serials_of(context),
        history=history_of(context),
        tests=signed_tests_of(context),
        papers=papers_of(context),
        sheets=sheets_of(context),
        rules=rules_applied_of(context),
        recheck=recheck_of(context),
    )
