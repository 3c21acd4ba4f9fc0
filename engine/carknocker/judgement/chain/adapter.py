"""The one place where durable-rules is used: it joins match keys with the rules that look for them.

The rule definitions never change: one rule of two patterns for each kind of consequence, and the consequences
themselves are facts. So one `Ruleset` serves the whole process, and each rulebook has a state of its own in it: which
rules look for a key depends on the rulebook alone, so what was joined once serves the judgements that follow.
The engine is given short strings and whole numbers only, no negation, no arithmetic. Its actions do nothing but
append to a list.
"""

import copy
import itertools
import threading
from collections import OrderedDict
from collections.abc import Hashable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from carknocker.judgement.chain.rules import KINDS, Rule

try:
    from durable.engine import MessageObservedException, Ruleset

    AVAILABLE = True
except Exception:  # it fails in several ways on Pythons it was not made for
    AVAILABLE = False

CAP = 1000
MOST_RULES = 20_000
"""More rules than this are refused before the engine sees one."""
MOST_CHARACTERS = 400
TRIES = 3
MOST_SESSIONS = 4
"""Rulebooks whose joins are kept."""


class EngineFailed(Exception):
    """The engine refused a fact, reported an error, or swallowed an exception: its answer can't be used."""


class FactCollision(EngineFailed):
    """The engine took two different facts for one (it compares 32-bit hashes): another state may pass."""


class _Host:
    """Stands where the engine expects its host; nothing is asked of it."""


_DEFINITION: dict[str, Any] = {
    kind: {
        "all": [{"shown": {"t": "key"}}, {"rule": {"$and": [{"t": "rule"}, {"k": kind}, {"s": {"shown": "s"}}]}}],
        "cap": CAP,
    }
    for kind in KINDS
}


class Matcher:
    """The engine with its one ruleset. A lock lets one chain run at a time, since the engine shares its memory."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._numbers = itertools.count()
        self._sessions: OrderedDict[Hashable, Session] = OrderedDict()
        self._log: list[tuple[str, int]] = []
        definition = copy.deepcopy(_DEFINITION)
        for rule in definition.values():
            rule["run"] = self._note
        self._ruleset = Ruleset("carknocker", _Host(), definition)

    def _note(self, closure: Any) -> None:
        pairs = closure.m if isinstance(closure.m, list) else [closure]
        for pair in pairs:
            self._log.append((pair.shown.s, pair.rule.r))

    @contextmanager
    def session(self, rulebook: Hashable) -> Iterator["Session"]:
        """The memory for judgements under one rulebook, for one of them at a time. It is dropped if the judgement
        failed, for whatever reason, so that nothing wrong outlives it."""
        with self._lock:
            session = self._sessions.pop(rulebook, None)
            if session is None:
                session = Session(self._ruleset, f"rulebook {next(self._numbers)}", self._log)
            try:
                yield session
            except BaseException:
                session.close()
                raise
            self._sessions[rulebook] = session
            while len(self._sessions) > MOST_SESSIONS:
                _, oldest = self._sessions.popitem(last=False)
                oldest.close()


class Session:
    """The memory of one rulebook in the engine: the rules and keys that it was given, and which it joined."""

    def __init__(self, ruleset: Any, sid: str, log: list[tuple[str, int]]) -> None:
        self._ruleset, self._sid, self._log = ruleset, sid, log
        self._used = False
        self._rules_known: set[int] = set()
        self._joined: dict[str, list[int]] = {}
        self._log.clear()

    def round(self, keys: Iterable[str], rules: Iterable[Rule]) -> dict[str, list[int]]:
        """Asserts what is new, dispatches once, and returns for every key seen so far the numbers of the rules that
        fired on it. The rules that look for a key must come with it the first time.

        Raises EngineFailed, or FactCollision, after which the session is of no more use.
        """
        facts: list[dict[str, Any]] = []
        for rule in rules:
            if rule.number not in self._rules_known:
                if rule.number >= MOST_RULES or len(rule.match_key) > MOST_CHARACTERS:
                    raise EngineFailed(f"{rule.consequence.id} is past what the engine may be given")
                self._rules_known.add(rule.number)
                facts.append({"sid": self._sid, "t": "rule", "k": rule.kind, "s": rule.match_key, "r": rule.number})
        for key in keys:
            if key not in self._joined:
                self._joined[key] = []
                facts.append({"sid": self._sid, "t": "key", "s": key})
        if not facts:
            return self._joined
        handle = None
        try:
            for fact in facts:
                handle = self._ruleset.assert_fact(fact)
                self._used = True
        except MessageObservedException as error:
            raise FactCollision(str(error)) from error
        except Exception as error:
            raise EngineFailed(f"the engine refused a fact: {error}") from error
        for key, number in self._dispatch(handle):
            self._joined[key].append(number)
        return self._joined

    def _dispatch(self, handle: Any) -> list[tuple[str, int]]:
        errors: list[Any] = []
        self._ruleset.do_actions(handle, lambda error, state: errors.append(error))
        if any(error is not None for error in errors):
            raise EngineFailed(f"the engine reported: {next(error for error in errors if error is not None)}")
        state = self._ruleset.get_state(self._sid)
        if state.get("exception"):
            raise EngineFailed(f"an action of the engine failed: {state['exception']}")
        fired = list(self._log)
        self._log.clear()
        return fired

    def close(self) -> None:
        self._log.clear()
        if self._used:
            self._used = False
            try:
                self._ruleset.delete_state(self._sid)
            except Exception as error:
                raise EngineFailed(f"the engine could not drop its memory: {error}") from error
