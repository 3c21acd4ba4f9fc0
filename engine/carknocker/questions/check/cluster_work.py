"""What is sent to a worker of a cluster, and what it does there: nothing is read from a file but the program's own."""

import hashlib
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path
from threading import Lock
from typing import TypeVar

import msgspec

import carknocker
from carknocker.cli.inputs import own_cache_dir
from carknocker.documents.parse_cache import ParseCache
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.program import made_by
from carknocker.questions.check.fleet import CarResult, CarTexts, result_of
from carknocker.rulebook.library import Library
from carknocker.rulebook.sent_library import SentLibrary, received

Answer = TypeVar("Answer")
_LIBRARIES = 8


class Program(msgspec.Struct, frozen=True):
    """A program that gives the same answers: its version, what chains the consequences, and a digest of its files."""

    version: str
    evaluator: str
    digest: str


class OtherProgram(Exception):
    """A worker runs another program; args: that."""


@cache
def own_program() -> Program:
    """The program that runs here."""
    package = Path(carknocker.__file__).parent
    digest = hashlib.sha256()
    for file in sorted(one for one in package.rglob("*") if one.is_file()):
        name = file.relative_to(package)
        if "__pycache__" not in name.parts and name.parts[0] != "installed":
            digest.update(f"{name.as_posix()}\0{hashlib.sha256(file.read_bytes()).hexdigest()}\0".encode())
    return Program(made_by().version, made_by().evaluator, digest.hexdigest())


def sent_on(library: SentLibrary) -> SentLibrary:
    """A library as a task of its own, so that it is sent once, and made again where a worker that had it is gone."""
    return library


def judged_there(
    car: CarTexts, library: SentLibrary, as_of: date, extract: Callable[[CheckAnswer], Answer], program: Program
) -> CarResult[Answer]:
    """The result for a car. Raises OtherProgram where another program was asked than the one that asks."""
    if own_program() != program:
        raise OtherProgram(own_program())
    return result_of(car, lambda: _library(library), as_of, extract)


_received: dict[str, Library] = {}
_lock = Lock()


def _library(sent: SentLibrary) -> Library:
    """The library that was sent; made once, for all threads."""
    with _lock:
        found = _received.get(sent.digest)
        if found is None:
            if len(_received) >= _LIBRARIES:
                _received.pop(next(iter(_received)))
            found = _received[sent.digest] = received(sent, ParseCache(own_cache_dir()))
        return found
