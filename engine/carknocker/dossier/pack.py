"""A pack: one zip file with a car's record, its move, the editions that it was judged by, and the dossier, so that a
stranger can work the answer out again without asking for anything."""

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any, NoReturn

import msgspec

from carknocker.documents import InputRefused, Location, Problem, ProblemList
from carknocker.documents.zip_files import files_of, zip_of
from carknocker.dossier.json_form import json_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord
from carknocker.record.photographs import FOLDER, ORIGINALS, with_photographs
from carknocker.rulebook.edition_head import EditionHead, edition_texts
from carknocker.rulebook.library import Library

FORMAT = "carknocker-pack/1"
LIST, CAR, MOVE, DOSSIER = "pack.json", "car.yaml", "move.yaml", "dossier.json"
RULESETS = "rulesets"
_EDITION_FILE = re.compile(rf"{RULESETS}/[^/]+/[^/]+/[^/]+\.yaml")
_PHOTOGRAPH = re.compile(rf"{FOLDER}/(?:{ORIGINALS}/[^/]+\.(?:jpg|png|webp)|[^/]+\.jpg)")


class Pack(msgspec.Struct, frozen=True):
    """What is in a pack. as_of: the day of its dossier. editions: `ruleset edition` → digest. files: name → content,
    all but the list of them."""

    as_of: date
    editions: Mapping[str, str]
    files: Mapping[str, bytes]

    @property
    def car_text(self) -> str:
        return self.files[CAR].decode("utf-8-sig")

    @property
    def move_text(self) -> str:
        return self.files[MOVE].decode("utf-8-sig")

    @property
    def car(self) -> CarRecord:
        """The car with the photographs that are in the pack. Raises InputRefused with every problem of the record."""
        found = {name: hashlib.sha256(content).hexdigest() for name, content in self._below(f"{FOLDER}/")}
        return with_photographs(read_car_text(self.car_text, CAR), found)

    def _below(self, folder: str) -> Iterator[tuple[str, bytes]]:
        """The files directly in a folder, by their names there."""
        for name, content in self.files.items():
            if name.startswith(folder) and "/" not in (own := name.removeprefix(folder)):
                yield own, content

    def refuse_unknown_photographs(self, car: CarRecord, file: str) -> None:
        """Refuses a pack with a photograph that its record does not name, or an original that is another picture."""
        copies = {one.file for one in car.photographs}
        originals = {one.original_sha256 for one in car.photographs} - {""}
        for name, _ in self._below(f"{FOLDER}/"):
            if name not in copies:
                refuse_pack(file, f"`{FOLDER}/{name}`, which the record does not name")
        for name, content in self._below(f"{FOLDER}/{ORIGINALS}/"):
            if hashlib.sha256(content).hexdigest() not in originals:
                refuse_pack(file, f"`{FOLDER}/{ORIGINALS}/{name}`, which is the original of no photograph on record")


def pack_of(
    answer: CheckAnswer, car: bytes, move: bytes, library: Library, photographs: Mapping[str, bytes] | None = None
) -> Pack:
    """The pack of an answer. car, move: the bytes of their files. library: from which it was judged. photographs: the
    files of the folder beside the record that go with it, by their names there.

    The dossier is made anew under the names that the files have in the pack, by the packed editions alone. Raises
    InputRefused where an edition can't be read, and where that gives another outcome.
    """
    heads = packed_heads(answer, library)
    own = Library(by_ruleset(heads), library.vocabulary)
    files = {CAR: car, MOVE: move, **{f"{FOLDER}/{name}": content for name, content in (photographs or {}).items()}}
    pack = Pack(answer.day, {}, files)
    again = check(pack.car, read_move_text(pack.move_text, MOVE), own, answer.day)
    if again.outcome != answer.outcome:
        found = f"the packed editions alone give another outcome: {again.outcome}, not {answer.outcome}"
        raise InputRefused((Problem(Location(answer.judgement.car.file, 1, 1), found),))
    problems = ProblemList()
    files[DOSSIER] = json_of([again]).encode()
    for head in heads:
        for path, text in edition_texts(head, problems).items():
            files[f"{RULESETS}/{head.ruleset}/{head.name}/{path.name}"] = text.encode()
    problems.refuse_if_any()
    digests = {str(head): own.edition(head.ruleset, head.name).digest for head in heads}
    return Pack(answer.day, digests, files)


def packed_heads(answer: CheckAnswer, library: Library) -> tuple[EditionHead, ...]:
    """The editions that an answer was judged by, on the day out and on the day back, and those that they amend."""
    choice = answer.choice
    books = (choice.at_out, *((choice.at_back,) if choice.at_back is not None else ()))
    found: dict[tuple[str, str], EditionHead] = {}
    waiting = [(edition.ruleset, edition.name) for book in books for edition in book.editions]
    while waiting:
        ruleset, name = waiting.pop(0)
        if (ruleset, name) not in found:
            head = library.head(ruleset, name)
            found[ruleset, name] = head
            if head.amends:
                waiting.append((ruleset, head.amends))
    return tuple(found.values())


def by_ruleset(heads: Iterable[EditionHead]) -> dict[str, tuple[EditionHead, ...]]:
    """The heads of editions by ruleset, oldest first, as a library takes them."""
    by_ruleset: dict[str, list[EditionHead]] = {}
    for head in sorted(heads, key=lambda one: (one.ruleset, one.in_force, one.name)):
        by_ruleset.setdefault(head.ruleset, []).append(head)
    return {ruleset: tuple(own) for ruleset, own in by_ruleset.items()}


def bytes_of(pack: Pack) -> bytes:
    """The zip file of a pack, the same each time."""
    listed = {
        "format": FORMAT,
        "as_of": pack.as_of.isoformat(),
        "editions": dict(sorted(pack.editions.items())),
        "files": {name: hashlib.sha256(content).hexdigest() for name, content in sorted(pack.files.items())},
    }
    text = json.dumps(listed, indent=1, ensure_ascii=False) + "\n"
    return zip_of({LIST: text.encode(), **pack.files})


def read_pack(content: bytes, file: str) -> Pack:
    """The pack in a zip file. Raises InputRefused for anything that `bytes_of` does not write; nothing is unpacked."""
    files = files_of(content, file, _known)
    listed = _listed(files.pop(LIST, b""), file)
    said = listed.get("files")
    editions = listed.get("editions")
    if not isinstance(said, dict) or not isinstance(editions, dict) or said.keys() != files.keys():
        refuse_pack(file, f"a pack whose list, `{LIST}`, names other files than are in it")
    for name, text in files.items():
        if hashlib.sha256(text).hexdigest() != said[name]:
            refuse_pack(
                file, f"`{name}`, which is not the file that the pack's list names", "the file as it was packed"
            )
    for name in (CAR, MOVE, DOSSIER):
        if name not in files:
            refuse_pack(file, f"a pack without `{name}`")
    for name in (name for name in files if name.endswith(".yaml")):
        try:
            files[name].decode("utf-8-sig")
        except UnicodeDecodeError:
            refuse_pack(file, f"`{name}`, which is no text")
    try:
        day = date.fromisoformat(str(listed.get("as_of")))
    except ValueError:
        refuse_pack(file, "a pack that does not say the day of its dossier")
    return Pack(day, {str(name): str(digest) for name, digest in editions.items()}, files)


def _known(name: str) -> bool:
    return name in (LIST, CAR, MOVE, DOSSIER) or bool(_EDITION_FILE.fullmatch(name) or _PHOTOGRAPH.fullmatch(name))


def _listed(content: bytes, file: str) -> dict[str, Any]:
    try:
        listed = json.loads(content)
    except (ValueError, RecursionError):
        refuse_pack(file, f"a zip file without a list, `{LIST}`, that can be read")
    if not isinstance(listed, dict) or listed.get("format") != FORMAT:
        refuse_pack(file, f"a zip file that is no `{FORMAT}`")
    return listed


def refuse_pack(file: str, found: str, expected: str = "a pack as `carknocker pack` writes it") -> NoReturn:
    """Refuses a pack. Raises InputRefused."""
    raise InputRefused((Problem(Location(file, 1, 1), found, expected, remedy="ask for the pack again"),)) from None
