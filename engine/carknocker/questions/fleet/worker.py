"""One car judged wherever it was sent. The rulesets are loaded once in each process, and again when a file changes."""

import os
from collections.abc import Callable, Iterator
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Generic

import msgspec

from carknocker.documents import InputRefused
from carknocker.documents.parse_cache import ParseCache
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.model import CannotJudge
from carknocker.questions.fleet.model import Answer, CarResult, CarToCheck
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.vocabulary.load import use_cache

_LIBRARIES = 8
"""Libraries kept at a time, for cars that each bring rulesets of their own."""
_Stamp = tuple[tuple[str, int, int], ...]


class Work(msgspec.Struct, Generic[Answer], frozen=True):
    """What is done with each car: judged as of a day, then put in the form that is wanted. cache: the folder of a
    `ParseCache`."""

    as_of: date
    told: Callable[[CheckAnswer], Answer]
    cache: Path | None

    def __call__(self, car: CarToCheck) -> CarResult[Answer]:
        """Never raises: whatever is wrong with one car is said of that car."""
        try:
            record, move = car.read()
            answer = check(record, move, _library(car.folders, self.cache), self.as_of)
            return CarResult(car.name, answer.outcome, self.told(answer))
        except InputRefused as refused:
            return CarResult(car.name, problems=refused.problems)
        except CannotJudge as reason:
            return CarResult(car.name, reason=str(reason))
        except Exception as error:
            return failed(car, error)


def failed(car: CarToCheck, error: Exception) -> CarResult[Answer]:
    """What is answered for a car where something went wrong inside the program, or its process has gone."""
    return CarResult(car.name, reason=f"something went wrong inside the program ({type(error).__name__}: {error})")


def _library(folders: tuple[Path, ...], cache: Path | None) -> Library:
    named = folders or tuple(rulesets_folders())
    return _loaded(named, tuple(_stamps(named)), cache)


@lru_cache(maxsize=_LIBRARIES)
def _loaded(folders: tuple[Path, ...], stamp: _Stamp, cache: Path | None) -> Library:
    """stamp: of the files; another one is another library."""
    parse_cache = None if cache is None else ParseCache(cache)
    if parse_cache is not None:
        use_cache(parse_cache)
    return load_library(folders, cache=parse_cache)


def _stamps(folders: tuple[Path, ...]) -> Iterator[tuple[str, int, int]]:
    """Name, time and size of every file under the folders. What can't be looked at is left to whoever reads it."""
    for folder in folders:
        for path, _, names in os.walk(folder):
            for name in sorted(names):
                file = os.path.join(path, name)
                try:
                    seen = os.stat(file)
                except OSError:
                    continue
                yield file, seen.st_mtime_ns, seen.st_size
