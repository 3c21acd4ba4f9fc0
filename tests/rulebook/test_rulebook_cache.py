"""Editions and the vocabulary from the cache: the same as parsed, checked again, and never taken on trust."""

import os
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest
from rulebook_samples import CARRIES, FLANGE, chapter, follows, head, said, vocabulary, write

from carknocker.documents import InputRefused
from carknocker.documents.parse_cache import ParseCache
from carknocker.rulebook import library as library_module
from carknocker.rulebook import load_library
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.model import Edition
from carknocker.vocabulary import load as vocabulary_load
from carknocker.vocabulary.model import Vocabulary

RULESETS = Path(__file__).parents[2] / "rulesets"
SECOND = FLANGE.replace("id: flange", "id: second")


class Counting(ParseCache):
    """A cache that counts what it answered with, by kind."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.answered: list[str] = []

    def get(self, key, kind):
        found = super().get(key, kind)
        if found is not None:
            self.answered.append(kind.__name__)
        return found


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    write(tmp_path / "rules", "law", "1", head("law", "1"), wheels=chapter(FLANGE + SECOND))
    return tmp_path / "rules"


def edition_of(rules: Path, cache: ParseCache | None) -> Edition:
    return load_library([rules], vocabulary=vocabulary(), cache=cache).edition("law", "1")


def test_a_cached_edition_is_the_one_that_was_parsed(rules: Path, tmp_path: Path) -> None:
    parsed = edition_of(rules, None)
    first, second = Counting(tmp_path / "cache"), Counting(tmp_path / "cache")
    assert edition_of(rules, first) == parsed == edition_of(rules, second)
    assert (first.answered, second.answered) == ([], ["EditionHead", "Edition"])


def test_a_cached_edition_without_one_criterion_does_not_serve(rules: Path, tmp_path: Path) -> None:
    folder = tmp_path / "cache"
    parsed = edition_of(rules, ParseCache(folder))
    assert len(parsed.criteria) == 2
    changed = 0
    for entry in folder.iterdir():
        content = entry.read_bytes()
        shorter = without_one(content[32:])
        if shorter is not None:
            entry.write_bytes(content[:32] + shorter)
            changed += 1
    assert changed == 1
    cache = Counting(folder)
    assert edition_of(rules, cache) == parsed
    assert cache.answered == ["EditionHead"]
    again = Counting(folder)  # the parsed edition has taken the place of the other one
    assert edition_of(rules, again) == parsed
    assert again.answered == ["EditionHead", "Edition"]


def without_one(payload: bytes) -> bytes | None:
    value = msgspec.msgpack.decode(payload)
    if "criteria" not in value:
        return None
    assert len(value["criteria"]) == 2
    return msgspec.msgpack.encode(value | {"criteria": value["criteria"][:1]})


def test_an_edition_under_the_key_of_another_does_not_serve(rules: Path, tmp_path: Path) -> None:
    """Even where it was put there whole."""
    write(tmp_path / "other", "law", "2", head("law", "2"), wheels=chapter(SECOND))
    other = load_library([tmp_path / "other"], vocabulary=vocabulary()).edition("law", "2")

    class Wrong(ParseCache):
        def get(self, key, kind):
            return other if kind is Edition else super().get(key, kind)

    assert edition_of(rules, Wrong(tmp_path / "cache")) == edition_of(rules, None)


def test_a_cached_edition_is_checked_again(tmp_path: Path) -> None:
    """What may not follow, and what names nothing, is refused of a cached edition as of a parsed one."""
    bad = follows("{test: single-car brake test}", "restricts: {speed: 40 mph}") + CARRIES
    nameless = CARRIES.replace("of: wheel", "criterion: none-such, of: wheel")
    assert nameless != CARRIES
    for name, text, words in (
        ("cause", bad, "`restricts` from a cause on `test`"),
        ("name", chapter(FLANGE, nameless), "the criterion `none-such`"),
    ):
        rules = tmp_path / name
        write(rules, "law", "1", head("law", "1"), wheels=text)
        for _ in range(2):
            with pytest.raises(InputRefused) as refused:
                edition_of(rules, ParseCache(tmp_path / "cache"))
            assert words in said(refused.value.problems)


def test_the_checks_run_on_what_the_cache_answers(rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = ParseCache(tmp_path / "cache")
    edition_of(rules, cache)
    checked: list[str] = []
    monkeypatch.setattr(library_module, "check_named_ids", lambda edition, head, problems: checked.append("names"))
    monkeypatch.setattr(library_module, "note_causes", lambda edition, problems: checked.append("causes"))
    edition_of(rules, cache)
    assert checked == ["names", "causes"]


def test_a_changed_reader_parses_again(rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "cache"
    edition_of(rules, ParseCache(folder))
    monkeypatch.setattr("carknocker.documents.parse_cache.source_digest", lambda package: b"another reader")
    cache = Counting(folder)
    edition_of(rules, cache)
    assert cache.answered == []
    monkeypatch.undo()
    assert edition_of(rules, cache) is not None
    assert cache.answered == ["EditionHead", "Edition"]


@pytest.mark.parametrize("odd", ["owner", "mode", "link", "pipe", "device"])
def test_an_odd_cache_is_parsed_anew_without_a_word(
    rules: Path, tmp_path: Path, odd: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "cache"
    parsed = edition_of(rules, ParseCache(folder))
    if odd == "owner":
        another = os.geteuid() + 1
        monkeypatch.setattr(os, "geteuid", lambda: another)
    elif odd == "mode":
        folder.chmod(0o777)
    else:
        for number, entry in enumerate(list(folder.iterdir())):
            moved = tmp_path / f"moved-{number}"
            entry.rename(moved)
            if odd == "pipe":
                os.mkfifo(entry)
            else:
                entry.symlink_to(moved if odd == "link" else "/dev/zero")
    cache = Counting(folder)
    assert edition_of(rules, cache) == parsed
    assert cache.answered == []
    assert capsys.readouterr() == ("", "")


def test_the_vocabulary_comes_back_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(vocabulary_load, "_caches", [])
    parsed = vocabulary_load.load_vocabulary.__wrapped__()
    first, second = Counting(tmp_path), Counting(tmp_path)
    for cache, answered in ((first, []), (second, ["Vocabulary"])):
        tmp_path.chmod(0o700)
        vocabulary_load.use_cache(cache)
        assert vocabulary_load.load_vocabulary.__wrapped__() == parsed
        assert cache.answered == answered
    assert isinstance(parsed, Vocabulary)
    assert EditionHead.__name__ not in second.answered


def test_the_next_process_finds_what_the_last_one_stored(tmp_path: Path) -> None:
    """Each process has an order of its own for what a set holds, and the vocabulary holds sets."""
    folder = tmp_path / "cache"
    code = (
        "import sys; from pathlib import Path; from carknocker.documents.parse_cache import ParseCache; "
        "from carknocker.rulebook import load_library; "
        "library = load_library([Path(sys.argv[1])], cache=ParseCache(Path(sys.argv[2]))); "
        "library.edition('trade-practice', library.heads['trade-practice'][-1].name)"
    )
    stored: list[set[str]] = []
    for seed in ("1", "2", "3"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)}
        subprocess.run([sys.executable, "-c", code, str(RULESETS), str(folder)], env=environment, check=True)
        stored.append({entry.name for entry in folder.iterdir()})
    assert stored[0]
    assert stored[0] == stored[1] == stored[2]
