"""Passwords, kept as argon2 writes them (RFC 9106), and looked at so that an answer's time tells nothing."""

import unicodedata
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from argon2.profiles import RFC_9106_LOW_MEMORY

FEWEST_CHARACTERS = 12
MOST_CHARACTERS = 200
AT_ONCE = 2
"""Each takes 64 MiB while it is looked at."""
LONGEST_WAIT_SECONDS = 10


class Busy(Exception):
    """Too many passwords are looked at just now."""


class PasswordRefused(Exception):
    """A password that can't be taken; says why."""


class Passwords:
    """Makes and looks at the hashes."""

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        self._hasher = hasher or PasswordHasher.from_parameters(RFC_9106_LOW_MEMORY)
        self._turn = BoundedSemaphore(AT_ONCE)
        self._of_nobody = self._hasher.hash("the password of nobody")

    def hash(self, password: str) -> str:
        """Raises PasswordRefused, Busy."""
        if not FEWEST_CHARACTERS <= len(password) <= MOST_CHARACTERS:
            raise PasswordRefused(f"a password has {FEWEST_CHARACTERS} to {MOST_CHARACTERS} characters")
        if len(set(password)) < 5:
            raise PasswordRefused("a password has at least 5 different characters")
        with self._in_turn():
            return self._hasher.hash(_one_writing(password))

    def is_right(self, kept: str | None, password: str) -> bool:
        """Whether it is the password that was kept. kept: None for a name that nobody has; it takes as long. Raises
        Busy."""
        with self._in_turn():
            try:
                right = self._hasher.verify(kept or self._of_nobody, _one_writing(password[:MOST_CHARACTERS]))
            except (VerificationError, InvalidHashError):
                return False
        return right and kept is not None

    def _in_turn(self) -> "_Turn":
        return _Turn(self._turn)


class _Turn:
    def __init__(self, turn: BoundedSemaphore) -> None:
        self._turn = turn

    def __enter__(self) -> None:
        if not self._turn.acquire(timeout=LONGEST_WAIT_SECONDS):
            raise Busy

    def __exit__(self, *_: object) -> None:
        self._turn.release()


def _one_writing(password: str) -> str:
    """The same password from keyboards that write an accent differently."""
    return unicodedata.normalize("NFC", password)
