"""The section *Workings*: every worked line that a finding used, and no other; boxes in every form."""

from datetime import timedelta

from random_worlds import NOWHERE, OUT, car_record, compare, criterion, move, reading, rulebook

from carknocker.dossier.worked_lines import worked_lines_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.page.html import html_of
from carknocker.page.markdown import markdown_of
from carknocker.page.model import Box, Page, Section
from carknocker.page.text import text_of
from carknocker.quantities import Quantity
from carknocker.record.values import Figure, Word
from carknocker.rulebook.clauses import EachOf

DAY = OUT - timedelta(days=4)
AT_MOST_2 = compare("wheelset", "mate_difference", "at_most", Figure(Quantity.of("tapes", 2)))
LINE = "|left - right| = |10 tapes - 11 tapes| = 1 tape"


def taped(*axles):
    found = []
    for axle in axles:
        for side, size in (("left", 10), ("right", 11)):
            key = f"wheel W-{axle} {side}"
            found.append(reading(key, "tape_size", Figure(Quantity.of("tapes", size)), DAY))
            found.append(reading(key, "tape_id", Word("T-1"), DAY))
    return found


def entries(rule, evidence):
    judgement = judge(car_record(evidence), move(), rulebook([rule], []), OUT)
    return worked_lines_of(JudgementIndex(judgement))


def test_each_line_with_the_parts_it_is_of():
    found = entries(criterion("mates", "wheelset", AT_MOST_2, effect="advise"), taped(1, 2, 3))
    assert [one.title for one in found] == ["Tape difference of the two wheels"]
    assert found[0].lines == (f"wheelsets W-1, W-2, W-3: {LINE}",)


def test_what_tells_whether_it_applies_counts_as_used():
    rule = criterion("when", "wheelset", compare("wheelset", "axle_class", "is", Word("D")), when=AT_MOST_2,
                     effect="advise")  # fmt: skip
    assert entries(rule, taped(1))[0].lines == (f"wheelset W-1: {LINE}",)


def test_what_does_not_apply_used_nothing():
    unless = criterion("unless", "wheelset", compare("wheelset", "axle_class", "is", Word("D")), unless=AT_MOST_2,
                       effect="advise")  # fmt: skip
    assert entries(unless, taped(1)) == ()


def test_workings_of_the_parts_inside_are_there():
    rule = criterion("each", "car", EachOf("wheelset", None, AT_MOST_2, NOWHERE), effect="advise")
    assert entries(rule, taped(4))[0].lines == (f"wheelset W-4: {LINE}",)


def test_a_rulebook_without_derived_figures_has_none():
    rule = criterion("plain", "wheel", compare("wheel", "plate_shape", "is", Word("curved")), effect="advise")
    assert entries(rule, taped(1)) == ()


def test_a_box_is_framed_and_escaped_in_every_form():
    page = Page("T", "V", "care", (Section("S", (Box("MIND", ("one *star*", "two " + "long " * 40)),)),))
    text = text_of(page)
    framed = [line for line in text.splitlines() if line.startswith(("+", "|"))]
    assert {len(line) for line in framed} == {80}
    assert "| - one *star*" in text
    markdown = markdown_of(page)
    assert "> **MIND**" in markdown
    assert "> - one \\*star\\*" in markdown
    assert '<div class="box">\n<p><strong>MIND</strong></p>\n<ul>\n<li>one *star*</li>' in html_of([page])
