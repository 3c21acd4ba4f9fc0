"""The history: nothing in it is changed, whoever writes at the same time."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path

import pytest
import sqlalchemy
from msgspec.structs import replace

from carknocker.service.storage.car_list import Car
from carknocker.service.storage.contents import MOST_BYTES_IN_DATABASE, ContentMissing, TakenAway
from carknocker.service.storage.database import DatabaseRefused, open_database
from carknocker.service.storage.history import Changed, History, NewVersion

AT = "2026-10-08T12:00:00Z"


@pytest.fixture
def history(tmp_path: Path, database: str | None) -> Iterator[History]:
    """An empty history with one car, on each database."""
    made = History(open_database(tmp_path, database), tmp_path)
    made.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    yield made
    made.engine.dispose()


def new(body: bytes, *, after: int | None = None, name: str = "") -> NewVersion:
    return NewVersion("c1", "record", name, body, "text/yaml", AT, "owner", "", after)


def test_versions_are_counted_and_keep_their_bytes(history: History) -> None:
    history.add([new(b"one", after=0)])
    (second,) = history.add([new(b"two", after=1)])
    assert (second.number, second.digest) == (2, sha256(b"two").hexdigest())
    assert history.text(history.version("c1", "record", "", 1)) == "one"
    assert [one.number for one in history.versions("c1")] == [2, 1]


@pytest.mark.parametrize("after", [0, 2])
def test_a_version_that_does_not_follow_the_newest_is_refused_and_nothing_of_the_lot_is_written(
    history: History, after: int
) -> None:
    history.add([new(b"one", after=0)])
    with pytest.raises(Changed) as refused:
        history.add([new(b"beside", name="other"), new(b"two", after=after)])
    assert refused.value.newest is not None
    assert refused.value.newest.number == 1
    assert history.newest("c1", "record", "other") is None


def test_fifty_writers_at_once_lose_nothing(history: History) -> None:
    with ThreadPoolExecutor(50) as pool:
        added = list(pool.map(lambda n: history.add([new(f"{n}".encode())])[0], range(50)))
    assert sorted(one.number for one in added) == list(range(1, 51))
    assert {history.text(one) for one in history.versions("c1", most=100)} == {f"{n}" for n in range(50)}


@pytest.mark.parametrize("statement", ["UPDATE entry SET note = 'x'", "DELETE FROM entry", "DELETE FROM content",
                                       "UPDATE content SET body = 'x'"])  # fmt: skip
def test_the_database_itself_refuses_to_change_history(history: History, statement: str) -> None:
    history.add([new(b"one")])
    with pytest.raises(sqlalchemy.exc.DatabaseError, match="history stays"), history.engine.begin() as connection:
        connection.execute(sqlalchemy.text(statement))
    assert history.text(history.version("c1", "record", "", 1)) == "one"


@pytest.mark.parametrize("size", [MOST_BYTES_IN_DATABASE, MOST_BYTES_IN_DATABASE + 1])
def test_large_bytes_lie_in_a_file_by_their_digest_and_a_changed_one_is_not_handed_out(
    history: History, size: int
) -> None:
    (version,) = history.add([new(b"x" * size)])
    assert history.body(version.digest)[1] == b"x" * size
    files = [one for one in (history.data / "files").rglob("*") if one.is_file()]
    assert [one.name for one in files] == ([version.digest] if size > MOST_BYTES_IN_DATABASE else [])
    for one in files:
        one.write_bytes(b"y" * size)
        with pytest.raises(ContentMissing, match="not what they were"):
            history.body(version.digest)


@pytest.mark.parametrize("size", [3, MOST_BYTES_IN_DATABASE + 1])
def test_blanked_bytes_are_gone_and_the_entry_stays_with_the_reason(history: History, size: int) -> None:
    picture = replace(new(b"x" * size), kind="photograph")
    (version,) = history.add([picture])
    history.blank([version.digest], AT, "owner", "shows a person")
    with pytest.raises(ContentMissing, match="taken away on 2026-10-08 by owner: shows a person"):
        history.body(version.digest)
    assert history.versions("c1") == (version,)
    assert not [one for one in (history.data / "files").rglob("*") if one.is_file()]
    with pytest.raises(KeyError):
        history.blank([version.digest], AT, "owner", "again")
    with pytest.raises(TakenAway, match="taken away on 2026-10-08 by owner: shows a person"):
        history.add([picture])


def test_what_was_written_is_there_when_the_database_is_opened_again(history: History) -> None:
    history.add([new(b"one")])
    history.engine.dispose()
    address = history.engine.url
    url = None if address.get_backend_name() == "sqlite" else address.render_as_string(hide_password=False)
    again = History(open_database(history.data, url), history.data)
    assert again.text(again.version("c1", "record", "", 1)) == "one"


@pytest.mark.parametrize(
    ("url", "why"), [("mysql://h/d", "of the kind `mysql`"), ("::", "can't be read"), ("sqlite:///x", "of the kind")]
)
def test_another_database_is_refused_without_its_address(tmp_path: Path, url: str, why: str) -> None:
    with pytest.raises(DatabaseRefused, match=why) as refused:
        open_database(tmp_path, url)
    assert url not in str(refused.value)


def test_the_forms_that_wait_are_those_without_a_decision_of_their_own(history: History) -> None:
    made = [NewVersion("c1", "sent form", name, b"form", "text/plain", AT, "Shop") for name in ("1 a", "1 a", "2 a")]
    first, second, third = (one.id for one in history.add(made))
    assert [one.id for one in history.undecided("c1", most=9)] == [first, second, third]
    history.add([NewVersion("c1", "decision", str(second), b"declined", "text/plain", AT, "owner", "declined")])
    history.add([NewVersion("c1", "edition", str(third), b"no decision", "text/plain", AT, "owner")])
    assert [one.id for one in history.undecided("c1", most=9)] == [first, third]
    assert [one.id for one in history.undecided("c1", most=1)] == [first]
    assert [one.id for one in history.undecided("c1", "2 a", most=9)] == [third]
    assert [one.id for one in history.versions("c1", "sent form", name="1 a")] == [second, first]
    assert {number: one.note for number, one in history.decisions("c1", [first, second, third]).items()} == {
        second: "declined"
    }
