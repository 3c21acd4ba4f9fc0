"""Short statements about what the answer rests on, in one fixed order: some stand directly under the outcome, the rest
where a page says what the answer rests on.

A statement is one line of plain words. Where there is nothing to say, there is none.
"""

from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.dossier.bad_news import STANDINGS, Standing, bad_news_that_passes
from carknocker.dossier.inspector import parts_looked_at_too_long_ago, parts_without_a_reading
from carknocker.judgement.doubts import StandingDoubt, settled_beside_earlier
from carknocker.judgement.evidence_of_findings import looked_at
from carknocker.judgement.failed_tests import PassedSince, passed_since
from carknocker.judgement.host_names import unlike_host_names
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.observed_value import text_of
from carknocker.judgement.odd_entries import odd_entries
from carknocker.judgement.odd_readings import odd_older_readings
from carknocker.judgement.odd_wear import damage_called_none, damage_gone_long_ago
from carknocker.judgement.oddities import BadFact
from carknocker.quantities import Quantity, write_quantity
from carknocker.quantities.period import Period
from carknocker.record.corrections import corrections_by
from carknocker.record.model import Evidence, Part, Photograph, SureEntry
from carknocker.record.part_keys import kind_of_key
from carknocker.record.photographs import State, photographs_by, state_of
from carknocker.record.standing import car_on_day
from carknocker.record.value_reader import NONE_FITTED
from carknocker.record.value_words import value_words
from carknocker.record.values import Count, Figure, Value
from carknocker.rulebook.clauses import Fixed, comparisons, paths
from carknocker.rulebook.model import Criterion, Edition
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.program_names import MOVE_KINDS
from carknocker.wording.doubts import doubt_words
from carknocker.wording.evidence import day_and_person, person_words
from carknocker.wording.oddities import entry_oddity_words, entry_remedy, oddity_words, refused_test_words
from carknocker.wording.parts import attribute_words, joined_labels, label_of, named, of_part, part_words

_A_YEAR = Period(months=12)

StatementSort = Literal[
    "bad news",
    "not looked at",
    "pinned",
    "circular",
    "one way",
    "log",
    "doubt",
    "sure",
    "correction",
    "photograph",
    "none fitted",
    "oldest",
    "outside",
]
"""What a statement is about. `bad news`: what no rule at hand asks about, what is only advised against, what the
host's inspector is left to judge, or what every rule that asks lets pass. `not looked at`: where nothing keeps the
car, the parts that are left to the host's inspector and of which no reading is on record, or only one that is too
old. `pinned`: an edition that
the move names, whatever is in force. `circular`: who typed the circular, and whether the host confirmed it. `one
way`: a move whose legs end elsewhere than they began. `log`: since when the log is complete. `doubt`: readings that
could hardly be, what is odd about them, and what settles it. `sure`: what can hardly be, and who says that it is;
damage that a person calls none. `correction`: what was written down wrongly and put right, both as it was and as it
is, and who says so. `photograph`: what is missing or was changed since it was put on record, and readings that one
confirms. `none fitted`: parts of which the record says that the car has none, and counts that it says are 0
where a rule asks nothing then, who says so, and when. `oldest`: the oldest reading and the oldest test for which no
rule sets an age. `outside`: a car that the ranges are not made for."""

_MOST_NAMED = 4
_PHOTOGRAPH_SAYS: dict[State, str] = {
    "missing": "Not in the folder `photographs` any more",
    "changed": "Photographs changed since they were put on record",
}

_LEADS: dict[Standing, str] = {
    "not asked": "no rule at hand asks",
    "advised against": "only advised against",
    "for the day": "left to the host's inspector",
    "allowed": "within every rule about it",
}
"""What bad news that passes is said to be, by how it passes."""


class Statement(msgspec.Struct, frozen=True):
    """One line of the first page. words: a sentence without its full stop. at_once: it must be known before all else,
    directly under the outcome."""

    sort: StatementSort
    words: str
    at_once: bool = True


def first_page_of(index: JudgementIndex) -> tuple[Statement, ...]:
    """The statements of one judgement, in the order of `STATEMENTS`."""
    return tuple(statement for statements in STATEMENTS for statement in statements(index))


def _pinned(index: JudgementIndex) -> Iterator[Statement]:
    """Editions that the move names itself: which is in force on its days was not asked of them."""
    for ruleset, name in sorted(index.judgement.move.editions.items()):
        yield Statement("pinned", f"Edition {name} of {ruleset} is used because the move says so, not by its dates")


def _circulars(index: JudgementIndex) -> Iterator[Statement]:
    """Who typed each host's circular that binds, and who of the host confirmed it; and whose circular is passed over
    since the move says that the host is another railroad."""
    move = index.judgement.move
    for name in () if move.circular else move.host_is_not:
        yield Statement("circular", f"No circular: by the move, {move.host} is not {name}, whose name is much like it")
    for edition in index.judgement.rulebook.editions:
        if edition.layer == "host":
            typed = edition.typed_by or "the owner"
            amends = f", which amends {edition.amends}" if edition.amends else ""
            named = f"Circular {edition.name} of {edition.host}{amends}"
            confirmed = _confirmed(edition, index)
            told = f"{named}: typed by {typed}, {confirmed or 'not confirmed by the host'}"
            yield Statement("circular", told, at_once=not confirmed)


def _confirmed(edition: Edition, index: JudgementIndex) -> str:
    """Who confirmed it; empty where nobody did. A confirmation of a later day than the one that is judged does not
    count."""
    said = edition.confirmed_by
    if said is None or said.on > index.judgement.as_of:
        return ""
    return f"confirmed by {said.name} ({said.role}) on {said.on.isoformat()}"


def _one_way(index: JudgementIndex) -> Iterator[Statement]:
    """A move whose legs do not lead back: a leg may be missing, and nothing is asked of a leg that is not there."""
    legs = index.judgement.move.legs
    if legs:
        first, last = legs[0].start, legs[-1].end
        if " ".join(first.split()).casefold() != " ".join(last.split()).casefold():
            yield Statement("one way", f"The legs end at {last}, not at {first}: a way back is a move of its own")


def _log(index: JudgementIndex) -> Iterator[Statement]:
    """Since when every event, every job and every move made is written down, and who says so."""
    log, day = index.judgement.car.log, index.judgement.as_of
    made = _moves_made(index)
    if log is None:
        says = "The record does not say since when its log of events, work and moves is complete"
        yield Statement("log", f"{says}: {made}", at_once=False)
    elif log.complete_since > day:
        since = log.complete_since.isoformat()
        yield Statement(
            "log",
            f"The log of events, work and moves made is complete only from {since} on, after this day",
            at_once=False,
        )
    else:
        by = "" if log.by is None else f", says {log.by.full_name or log.by.name} ({log.by.role})"
        since = log.complete_since.isoformat()
        yield Statement(
            "log", f"The log of events, work and moves made is complete since {since}{by}: {made}", at_once=False
        )


def _moves_made(index: JudgementIndex) -> str:
    """How many moves the car made up to the day, their miles, and when the last one ended."""
    made = [one for one in index.judgement.car.moves_made if one.out <= index.judgement.as_of]
    if not made:
        return "no move made"
    miles = Quantity.of("distance", sum((one.miles.amount for one in made), Fraction(0)), "mi")
    last = max(one.back for one in made)
    ended = f"ended {last.isoformat()}" if last <= index.judgement.as_of else f"on its way until {last.isoformat()}"
    if len(made) == 1:
        return f"1 move of {write_quantity(miles)}, {ended}"
    return f"{len(made)} moves, {write_quantity(miles)} in all, the last {ended}"


def _on_another_move(index: JudgementIndex) -> Iterator[Statement]:
    """A move on the log that is not over when this one leaves: a car is in one train at a time. A move that is judged
    under way or afterwards may stand on the log itself."""
    move = index.judgement.move
    for made in index.judgement.car.moves_made:
        if made.out < move.out < made.back:
            says = f"on a move until {made.back.isoformat()} by its log (line {made.where.line})"
            leaves = f"and this move leaves on {move.out.isoformat()}"
            yield Statement("doubt", f"Doubtful: the car is {says}, {leaves}; correct the days")


def _defect_found(index: JudgementIndex) -> Iterator[Statement]:
    """A move that says where the defect of the car was found, of a car on whose record no defect stands."""
    judgement = index.judgement
    said = judgement.situation.newest("move", "defect_found")
    found = any(one.unmet and one.verdict in ("breached", "void") and one.part.kind not in MOVE_KINDS
                for one in judgement.findings)  # fmt: skip
    if said is None or found:
        return
    none = "and on record is none: write down what was found, and what was done about it"
    yield Statement(
        "bad news", f"On record: the move says where a defect was found ({value_words(said.value)}), {none}"
    )


def _doubts(index: JudgementIndex) -> Iterator[Statement]:
    """Each doubt once, however many rules look at what it is about, and on however many parts of a kind it stands."""
    alike: dict[tuple[str, str, str], list[StandingDoubt]] = {}
    for doubt in index.judgement.doubts:
        alike.setdefault((doubt.name, oddity_words(doubt.odd), doubt.part.kind), []).append(doubt)
    for doubts in alike.values():
        label = named([one.part for one in doubts], index) if len(doubts) > 1 else ""
        words = doubt_words(doubts[0], label)
        yield Statement("doubt", words[0].upper() + words[1:])


def _odd_entries(index: JudgementIndex) -> Iterator[Statement]:
    """Each entry beside the readings that could hardly be; and the tests that say `passed` beside what says that they
    did not."""
    judgement = index.judgement
    failed = {(one.test.where, one.fact.name): one for one in judgement.refused_tests}
    for refused in failed.values():
        yield Statement("bad news", f"On record: {refused_test_words(refused)} (line {refused.test.where.line})")
    for one in odd_entries(car_on_day(judgement.car, judgement.as_of)):
        where = f"(line {one.where.line})"
        says = entry_oddity_words(one.odd)
        if isinstance(one.odd, BadFact):
            if (one.where, one.odd.fact.name) in failed:
                continue
            yield Statement("bad news", f"On record: {says} {where}")
        else:
            yield Statement("doubt", f"Doubtful: {says} {where}; {entry_remedy(one.odd)}")


def _host_names(index: JudgementIndex) -> Iterator[Statement]:
    """Hosts whose names are nearly the same: one of them may be a slip, and what it accepts counts for nothing then."""
    for names in unlike_host_names(index.judgement.car, index.judgement.move):
        yield Statement("doubt", f"`{names.one}` is nearly `{names.other}`: the same railroad? Write its name alike")


def _odd_before(index: JudgementIndex) -> Iterator[Statement]:
    """Older readings that could hardly be: nothing is judged by them, but they are on record."""
    found: dict[tuple[int, str], str] = {}
    # what is doubtful is left out of the situation in which all doubts are judged
    told = {(one.id, oddity_words(doubt.odd)) for doubt in index.judgement.doubts for one in doubt.touched}
    for one in odd_older_readings(index.judgement.situation):
        says = oddity_words(one.odd)
        if (one.reading.id, says) not in told:
            found.setdefault((one.reading.where.line, says), f"{one.reading.part}: {says}, line")
    if found:
        named = [f"{words} {line}" for (line, _), words in found.items()]
        more = "" if len(named) <= _MOST_NAMED else f"; and {len(named) - _MOST_NAMED} more"
        yield Statement("doubt", f"Odd among what is judged no longer: {'; '.join(named[:_MOST_NAMED])}{more}")


def _settled(index: JudgementIndex) -> Iterator[Statement]:
    """Earlier readings that a later one contradicts, where that one is sure or was read alike by a second person: the
    earlier one may be bad news of another part."""
    situation = index.judgement.situation
    found = [
        f"{one.reading.part}: {oddity_words(one.odd)}, line {one.reading.where.line}"
        for one in settled_beside_earlier(situation)
    ]
    if found:
        says = "Settled by the later reading, but one of the two is wrong or of another part"
        yield Statement("doubt", f"{says}: {_first_of(found)}")


def _sure(index: JudgementIndex) -> Iterator[Statement]:
    """What the record and the move say with `sure: WHY`, as far as its day has come."""
    judgement = index.judgement
    for entry in (*judgement.car.sure, *judgement.move.sure):
        if entry.on is None or entry.on <= judgement.as_of:
            person = judgement.car.people.get(entry.by)
            by = "the owner" if person is None else f"{person.full_name or person.name} ({person.role})"
            yield Statement("sure", f"Sure: {_said(entry, index)}, says {by}: {entry.why}", at_once=False)


def _corrections(index: JudgementIndex) -> Iterator[Statement]:
    """What was written down wrongly and put right since, with both figures."""
    for one in corrections_by(index.judgement.car.corrections, index.judgement.as_of):
        label = attribute_words(kind_of_key(one.of), one.attribute)
        read = "" if one.read_on is None else f", {one.read_on.isoformat()}"
        says = f"says {person_words(one.by)} on {one.on.isoformat()}: {one.why}"
        yield Statement("correction", f"Put right: {label} of {one.of}{read}: {one.now}, not {one.said}, {says}")


def _photographs(index: JudgementIndex) -> Iterator[Statement]:
    """What is not as it was put on record, and the readings that a photograph confirms as `sure` would."""
    judgement = index.judgement
    own = photographs_by(judgement.car, judgement.as_of)
    for state, says in _PHOTOGRAPH_SAYS.items():
        told = [
            f"{one.file} of {' and '.join(one.of)} (line {one.where.line})" for one in own if state_of(one) == state
        ]
        if told:
            yield Statement("photograph", f"{says}: {_first_of(told)}")
    days = {one.file: one for one in own}
    shown = [
        f"{_read(one.part, one.attribute, one.value, index)} ({one.photograph}, {_taken(days[one.photograph])})"
        for one in judgement.car.evidence if one.photograph in days
    ]  # fmt: skip
    if shown:
        yield Statement("photograph", f"Sure by photograph: {_first_of(shown)}")


def _taken(photograph: Photograph) -> str:
    return f"{photograph.on.isoformat()}, {person_words(photograph.by)}"


def _first_of(told: list[str]) -> str:
    more = "" if len(told) <= _MOST_NAMED else f"; and {len(told) - _MOST_NAMED} more"
    return f"{'; '.join(told[:_MOST_NAMED])}{more}"


def _called_none(index: JudgementIndex) -> Iterator[Statement]:
    """Damage that was on record and that a named person calls none."""
    for one in damage_called_none(index.judgement.situation):
        label = of_part(attribute_words(one.part.kind, one.later.attribute), one.part)
        was = f"{text_of(one.earlier.value)} ({day_and_person(one.earlier)})"
        now = f"{one.opinion.word} ({day_and_person(one.later)}): {one.opinion.text}"
        yield Statement("sure", f"Damage called none: {label}, {was}, is {now}", at_once=False)


def _good_since(index: JudgementIndex) -> Iterator[Statement]:
    """Damage of before the log begins that is good since; and failed tests that were passed since with no job between
    that is named for them."""
    situation = index.judgement.situation
    gone = [
        f"{of_part(attribute_words(one.part.kind, one.later.attribute), one.part)}, {text_of(one.earlier.value)} "
        f"({day_and_person(one.earlier)}), is {text_of(one.later.value)} ({day_and_person(one.later)})"
        for one in damage_gone_long_ago(situation)
    ]
    if gone:
        yield Statement("doubt", f"Damage of before the log is complete, with no job on record: {_first_of(gone)}")
    passed = [
        f"{of_part(attribute_words(one.part.kind, one.failed.attribute), one.part)}, failed "
        f"({day_and_person(one.failed)}), passed ({day_and_person(one.passed)}), {_work_between(one)}"
        for one in passed_since(situation)
    ]
    if passed:
        yield Statement("doubt", f"Failed and passed since, and no job between is named for it: {_first_of(passed)}")


def _work_between(one: PassedSince) -> str:
    done = [f"{job.id} {job.name}" for job in one.between]
    return f"between them {_first_of(done)}" if done else "no work between them"


def _said(entry: SureEntry, index: JudgementIndex) -> str:
    return entry.of if entry.value is None else _read(entry.of, entry.attribute, entry.value, index)


def _read(key: str, attribute: str, value: Value, index: JudgementIndex) -> str:
    """What was read of a part, by its key: `flange thickness of wheel L3 1 in`."""
    part = index.judgement.parts.get(key)
    if part is not None:
        return f"{of_part(attribute_words(part.kind, attribute), part)} {value_words(value)}"
    return f"{attribute_words(kind_of_key(key), attribute)} of {key} {value_words(value)}"


def _outside(index: JudgementIndex) -> Iterator[Statement]:
    """What lies outside of the cars that ranges and rows are made for, where the record shows it."""
    situation = index.judgement.situation
    said: dict[str, None] = {}
    for row in load_vocabulary().outside:
        for part in index.standing.by_kind.get(row.of, ()):
            number = len(index.standing.inside_of(part.key, row.count)) if row.count else 0
            held = situation.values_of(part.key).get(row.attribute) if row.attribute else None
            text = "" if held is None else value_words(held.value).casefold()
            if (row.count and number not in row.numbers) or any(word in text for word in row.words):
                said[row.says.format(number=number)] = None
    for says in said:
        yield Statement("outside", f"Outside of what is known here: {says}")


def _none_fitted(index: JudgementIndex) -> Iterator[Statement]:
    """Parts that the record says the car has not got, once for all containers of which the same person says it."""
    situation = index.judgement.situation
    said: dict[tuple[str, str], list[str]] = {}
    for kind in index.vocabulary.kinds.values():
        for row in kind.stands:
            for container in situation.standing.by_kind.get(row.container, ()) if row.number else ():
                value = situation.values[container.key].get(row.number)
                if value is not None and value.value == Count(0, NONE_FITTED):
                    containers = said.setdefault((row.called, day_and_person(value.evidence)), [])
                    containers.append(part_words(container))
    for (called, by), places in said.items():
        yield Statement("none fitted", f"No {called} fitted: {joined_labels(places)} ({by})", at_once=False)


def _said_to_be_none(index: JudgementIndex) -> Iterator[Statement]:
    """Counts that the record says are 0, each with how many criteria ask nothing for that reason."""
    said: dict[tuple[str, str], dict[str, None]] = {}
    for finding in index.judgement.findings:
        if finding.verdict != "not applicable" or not finding.part.fitted:
            continue
        for attribute in _exempt_at_nought(finding.criterion):
            held = index.judgement.situation.values_of(finding.part.key).get(attribute.name)
            if held is not None and held.value == Count(0):
                by = day_and_person(held.evidence) or "undated"
                words = f"{of_part(attribute.label, finding.part)} 0 ({by})"
                said.setdefault((finding.part.key, words), {})[finding.criterion.id] = None
    for (_, words), criteria in said.items():
        asks = "1 requirement does" if len(criteria) == 1 else f"{len(criteria)} requirements do"
        yield Statement("none fitted", f"Said to be none: {words}; so {asks} not apply", at_once=False)


def _exempt_at_nought(criterion: Criterion) -> Iterator[Attribute]:
    """The counts of its own part at whose nought a criterion asks nothing."""
    for inside, comparison in comparisons(criterion.unless):
        limit = comparison.limit
        own = not inside and not comparison.path.owner and comparison.word in ("is", "one_of")
        if own and isinstance(limit, Fixed) and Count(0) in limit.values:
            yield comparison.path.attribute


def _bad_news(index: JudgementIndex) -> Iterator[Statement]:
    found = bad_news_that_passes(index)
    for standing in STANDINGS:
        lead = _LEADS[standing]
        news = [f"{one.label}: {one.word} ({named(one.parts, index)})" for one in found if one.standing == standing]
        if news:
            told = f"On record, and {lead}: {'; '.join(news)}"
            # beside faults, what every rule lets pass is no news for whoever decides
            yield Statement("bad news", told, at_once=standing != "allowed" or not index.judgement.refusals)


def _not_looked_at(index: JudgementIndex) -> Iterator[Statement]:
    """Where nothing keeps the car: the parts that nobody looked at, or not for too long, the host's inspector being
    left to do it."""
    if index.judgement.refusals:
        return
    for says, parts in (
        ("No reading on record", parts_without_a_reading(index)),
        ("Looked at too long ago", parts_looked_at_too_long_ago(index)),
    ):
        alike: dict[str, list[Part]] = {}
        for part in parts:
            alike.setdefault(part.kind, []).append(part)
        if alike:
            found = joined_labels([named(of_kind, index) for of_kind in alike.values()])
            yield Statement("not looked at", f"{says}, so left to the host's inspector: {found}")


def _oldest(index: JudgementIndex) -> Iterator[Statement]:
    """The oldest reading and the oldest test on which a met criterion rests, where no criterion that applies says how
    old it may be; and how many such readings, no weights, are over a year old on departure. Where nothing keeps the
    car, that is to be known at once, as are parts without a reading."""
    findings = [one for one in index.judgement.findings if one.verdict != "not applicable"]
    criteria = {one.criterion.id: one.criterion for one in findings}
    aged = {name for criterion in criteria.values() for name in _ages(criterion)}
    oldest: dict[str, tuple[date, str, Evidence]] = {}
    stale: set[str] = set()
    a_year_before = _A_YEAR.before(index.judgement.move.out)
    for one in findings:
        for evidence in looked_at(one, index)[0] if one.verdict == "met" and one.part.fitted else ():
            kind = kind_of_key(evidence.part)
            if evidence.on is None or evidence.sort not in ("reading", "test") or (kind, evidence.attribute) in aged:
                continue
            if evidence.sort == "reading" and evidence.on < a_year_before and not _is_weight(evidence.value):
                stale.add(evidence.id)
            found = oldest.get(evidence.sort)
            if found is None or evidence.on < found[0]:
                oldest[evidence.sort] = (evidence.on, kind, evidence)
    told = []
    for on, kind, evidence in sorted(oldest.values(), key=lambda one: one[0]):
        known = load_vocabulary().kinds[kind].attributes.get(evidence.attribute)
        label = evidence.attribute if known is None else known.short_label
        part = index.judgement.parts.get(evidence.part)
        told.append(f"{label} ({evidence.part if part is None else label_of(part)}), {on.isoformat()}")
    if told:
        words = f"Oldest reading or test that no rule asks to renew: {'; '.join(told)}"
        if stale:
            words += f"; {len(stale):,} such reading{'s are' if len(stale) > 1 else ' is'} over a year old on departure"
        yield Statement("oldest", words, at_once=bool(stale) and not index.judgement.refusals)


def _is_weight(value: Value) -> bool:
    """Whether it is a weight: a car is weighed once for years, and nothing wears it."""
    return isinstance(value, Figure) and value.quantity.dimension == "weight"


def _ages(criterion: Criterion) -> Iterator[tuple[str, str]]:
    """Kind and name of the attributes whose evidence a criterion accepts only up to an age."""
    for _, comparison in comparisons(criterion.must):
        if criterion.read_within is not None or comparison.word in ("within", "in_force"):
            for path in paths(comparison):
                yield path.attribute.kind, path.attribute.name


STATEMENTS: tuple[Callable[[JudgementIndex], Iterator[Statement]], ...] = (
    _bad_news, _pinned, _circulars, _one_way, _not_looked_at, _log, _on_another_move, _defect_found, _doubts,
    _odd_entries, _host_names, _odd_before, _settled, _sure, _called_none, _good_since, _corrections, _photographs,
    _none_fitted, _said_to_be_none, _oldest, _outside,
)  # fmt: skip
"""One function for each sort of statement."""
