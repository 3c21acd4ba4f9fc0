"""Reads the head of an edition, `edition.yaml`."""

from pathlib import Path
from typing import Annotated, Any, Literal

from msgspec.structs import asdict
from pydantic_core import core_schema

from carknocker.documents import Problem, ProblemList, load_document, some
from carknocker.documents.structure import Accepts, Structure, read_as
from carknocker.quantities import QuantityError
from carknocker.record.entries import FullDay, Several, Text, Whole
from carknocker.rulebook.edition_head import HEAD_FILE, EditionHead
from carknocker.rulebook.model import Completeness, Confirmation, Correction

_Name = Annotated[str, Accepts(core_schema.str_schema(pattern=r"^[a-z0-9][a-z0-9.-]*$"))]


class _Relaxed(Structure, frozen=True, kw_only=True):
    criterion: Annotated[str, Accepts(core_schema.str_schema(pattern=r"^[^/]+/[^/]+$"))]
    reason: Text


class _Corrected(Structure, frozen=True, kw_only=True):
    on: FullDay
    what: Text
    rules: Several = ()


class _Regimes(Structure, frozen=True, kw_only=True):
    passenger: str = ""
    freight: str = ""
    excursion: str = ""


class _Confirmed(Structure, frozen=True, kw_only=True):
    name: Text
    role: Text
    on: FullDay


def _completeness(value: Any) -> Completeness:
    expected = "`yes`, or `{no: WHY, lacks: [what is missing]}`"
    if value in ("yes", "true"):
        return Completeness()
    if not isinstance(value, dict):
        raise QuantityError(f"`{str(value)[:60]}`", expected)
    if set(value) != {"no", "lacks"}:
        raise QuantityError(f"the keys {some(value)}" if value else "nothing", expected)
    reason, lacks = value["no"], value["lacks"]
    texts = [" ".join(text.split()) for text in ([reason, *lacks] if isinstance(lacks, list) else ()) if _is_text(text)]
    if len(texts) < 2 or len(texts) != 1 + len(lacks):
        raise QuantityError("a reason or a list that is empty or no text", expected)
    return Completeness(texts[0], tuple(texts[1:]))


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


class HeadEntry(Structure, frozen=True, kw_only=True):
    """The keys of `edition.yaml`."""

    format: Literal["carknocker-edition/1"]
    ruleset: _Name
    edition: Text
    title: Text
    layer: Literal["law", "trade", "host"]
    publisher: Text
    host: str = ""
    in_force: FullDay
    until: FullDay | None = None
    checked: FullDay
    builds_on: tuple[_Name, ...] | None = None
    amends: str = ""
    removed: tuple[str, ...] = ()
    regimes: _Regimes | None = None
    borderline: Literal["advise", "refuse"] | None = None
    relaxes: tuple[_Relaxed, ...] = ()
    routine_note: str = ""
    only_where_named: bool = False
    typed_by: str = ""
    confirmed_by: _Confirmed | None = None
    checked_against: str = ""
    revision: Whole = 1
    corrections: tuple[_Corrected, ...] = ()
    complete: Annotated[Completeness | None, Accepts.made_by(_completeness)] = None


def read_head(folder: Path, problems: ProblemList) -> EditionHead | None:
    """The head of the edition in a folder. None, with the problems reported, if it can't be used.

    Whether the edition is installed is not in the file; the caller, who knows the folders, sets it.
    """
    file = folder / HEAD_FILE
    node = load_document(file, problems)
    if node is None:
        return None
    head = read_as(node, HeadEntry, problems)
    if head is None:
        return None
    before = len(problems)

    def note(key: str, found: str, expected: str, remedy: str = "") -> None:
        problems.add(Problem(node.key_where(key), found, expected, remedy=remedy))

    if head.ruleset != folder.parent.name:
        note("ruleset", f"the ruleset `{head.ruleset}` in the folder {folder.parent.name}", "one name for both")
    if head.edition != folder.name:
        note("edition", f"the edition `{head.edition}` in the folder {folder.name}", "one name for both")
    if head.until is not None and head.until < head.in_force:
        note("until", f"until {head.until}, before it is in force", f"a day not before {head.in_force}")
    if (head.layer == "host") != bool(head.host):
        note("host", f"layer {head.layer} " + ("with" if head.host else "without") + " a host",
             "`host: NAME` for an edition of the layer host, and for no other")  # fmt: skip
    if head.layer == "host" and head.builds_on is None and not head.amends:
        note("builds_on", "a host's edition that does not say what it builds on", "`builds_on: [rulesets]`",
             "name the law that binds a car on this host; `[]` only where no law is at hand")  # fmt: skip
    if head.removed and not head.amends:
        note("removed", "`removed` in an edition that amends none", "`amends: EDITION` beside it")
    if head.relaxes and head.layer == "law":
        note("relaxes", "law that relaxes", "`relaxes` only in an edition of the trade or of a host")
    if head.only_where_named and head.layer == "host":
        note("only_where_named", "a host's edition that binds only where it is named", "such a key in law or trade",
             "a host's circular binds the moves in his trains, and no other")  # fmt: skip
    for key in ("typed_by", "confirmed_by"):
        if head.layer != "host" and getattr(head, key):
            note(key, f"`{key}` in an edition of the layer {head.layer}", "such a key in a host's edition only",
                 "it says who typed the circular of a host, and who there confirmed it")  # fmt: skip
    if not (head.revision == 1 if not head.corrections else 1 < head.revision <= 1 + len(head.corrections)):
        note("revision" if node.get("revision") is not None else "corrections",
             f"revision {head.revision} with {len(head.corrections)} corrections",
             "revision 1 for a text as it was first typed, and one more each time that slips in it were corrected",
             "list under `corrections` what was corrected, and raise `revision` by one for it")  # fmt: skip
    if head.amends == head.edition:
        note("amends", "an edition that amends itself", "the name of an earlier edition")
    if len({relaxed.criterion for relaxed in head.relaxes}) != len(head.relaxes):
        note("relaxes", "one criterion relaxed twice", "each criterion once")
    if len(problems) != before:
        return None
    regimes = {} if head.regimes is None else {train: words for train, words in asdict(head.regimes).items() if words}
    said = head.confirmed_by
    return EditionHead(
        head.ruleset, head.edition, head.title, head.layer, head.publisher, head.host, head.in_force, head.until,
        head.checked, head.builds_on, head.amends, head.removed, regimes, head.borderline or "advise",
        head.borderline is not None, {relaxed.criterion: relaxed.reason for relaxed in head.relaxes},
        head.routine_note, head.only_where_named, folder, node.where,
        None if head.builds_on is None else node.key_where("builds_on"), installed=False,
        typed_by=" ".join(head.typed_by.split()),
        confirmed_by=None if said is None else Confirmation(said.name, said.role, said.on),
        checked_against=" ".join(head.checked_against.split()),
        revision=head.revision,
        corrections=tuple(Correction(head.edition, one.on, one.what, one.rules) for one in head.corrections),
        complete=head.complete, complete_where=None if head.complete is None else node.key_where("complete"),
    )  # fmt: skip
