"""The list of cars as it is walked page by page while cars change places in it, and as one is looked for in it, on both
databases."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
import sqlalchemy
from fastapi.testclient import TestClient
from msgspec.structs import replace

from carknocker.service.keeping import Keeping
from carknocker.service.storage.car_list import Car, ListedCar, Place, words_of
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import PUT_AWAY, History, NewVersion
from carknocker.service.storage.tables import car, word

AT = "2026-10-08T12:00:00Z"
FIRST_DAY = date(2026, 11, 6)


@pytest.fixture
def history(tmp_path: Path, database: str | None) -> Iterator[History]:
    made = History(open_database(tmp_path / "data", database), tmp_path / "data")
    yield made
    made.engine.dispose()


def add(history: History, *titles: tuple[str, str]) -> None:
    """Cars c0, c1 … by mark and name, each a day later than the one before."""
    for number, (mark, name) in enumerate(titles):
        history.add_car(Car(f"c{number}", mark, name, AT, "owner"), (), (FIRST_DAY + timedelta(number)).isoformat())


def fleet(history: History, cars: int) -> None:
    add(history, *((f"QTST {number}", "") for number in range(cars)))


def judge(history: History, car_id: str, *, ended: bool, out: date) -> None:
    now = history.standing(car_id)
    history.set_standing(replace(now, ended=int(ended), out=out.isoformat(), judged=now.changes))


def found(history: History, search: str, *, away: bool = False) -> list[str]:
    return [one.car.title for one in history.walked(None, 50, away=away, search=search)]


@pytest.mark.parametrize(("text", "words"), [
    ("QWHX 27", ("qwhx", "27")), ("qwhx-27", ("qwhx", "27")), ("QWHX27", ("qwhx", "27")), 
    ("Zoë's  Run", ("zoe", "s", "run")),
    ("ÉTOILE étoile", ("etoile",)), ("—", ()), ("", ()), ("a%_\\b", ("a", "b")), ("x" * 90, ("x" * 40,)),
])  # fmt: skip
def test_the_words_of_a_car(text: str, words: tuple[str, ...]) -> None:
    assert words_of(text) == words


def test_a_car_is_found_by_mark_number_and_name_or_how_they_begin(history: History) -> None:
    add(
        history,
        ("QWHX 27", "Wren Hollow"),
        ("QWHX 271", "Marsh Wren"),
        ("QTDX 5", "Étoile"),
        ("QA 27", ""),
        ("ZZX 9", ""),
    )
    first, second, third, fourth, last = "QWHX 27 Wren Hollow", "QWHX 271 Marsh Wren", "QTDX 5 Étoile", "QA 27", "ZZX 9"
    for search, titles in (
        ("QWHX 27", [first, second]), ("qwhx27", [first, second]), ("271", [second]), ("27", [first, second, fourth]),
        ("wren", [first, second]), ("wr", [first, second]), ("HOLLOW wren", [first]), ("etoile", [third]),
        ("q", [first, second, third, fourth]), ("zz", [last]), ("ren", []), ("qwhx 5", []), ("%", []), ("'", []),
        ("—", []),
    ):  # fmt: skip
        assert found(history, search) == titles, search


def test_a_car_is_found_as_it_is_called_now_and_where_it_is(history: History) -> None:
    add(history, ("QWHX 72", "Wren Hello"), ("QTDX 5", "Wren"))
    history.add([NewVersion("c0", "record", "", b"x", "text/yaml", AT, "owner")], called=("QWHX 27", "Wren Hollow"))
    now = ["QWHX 27 Wren Hollow"]
    assert [found(history, one) for one in ("72", "hello", "27", "hollow")] == [[], [], now, now]
    judged = history.standing("c1")
    history.set_standing(replace(judged, judged=judged.changes), ("QTDX 5", "Marsh Tit"))
    assert (found(history, "wren"), found(history, "tit")) == (["QWHX 27 Wren Hollow"], ["QTDX 5 Marsh Tit"])
    history.add([NewVersion("c0", "put away", "", PUT_AWAY, "text/plain", AT, "owner")])
    assert (found(history, "wren"), found(history, "wren", away=True)) == ([], ["QWHX 27 Wren Hollow"])


def test_cars_of_an_earlier_version_are_found_once_it_has_started(history: History) -> None:
    add(history, ("QWHX 27", "Wren Hollow"))
    with history.engine.begin() as connection:
        connection.execute(sqlalchemy.delete(word))
    assert found(history, "wren") == []
    for _ in range(2):
        history.list_all("no car")
        assert found(history, "wren") == ["QWHX 27 Wren Hollow"]


def many(history: History, cars: int) -> None:
    """So many cars at once, every hundredth of another mark."""
    with history.engine.begin() as connection:
        marks = [("QRAR" if number % 100 == 0 else "QTST", number) for number in range(cars)]
        rows = [Car(f"c{number}", f"{mark} {number}", "", AT, "owner") for mark, number in marks]
        told = [{"id": one.id, "mark": one.mark, "name": "", "made_at": AT, "made_by": "owner"} for one in rows]
        connection.execute(sqlalchemy.insert(car), told)
    history.list_all("no car")
    with history.engine.begin() as connection:
        kind = history.engine.dialect.name
        connection.exec_driver_sql("ANALYZE" if kind == "sqlite" else "ANALYZE word, car, standing, list_order")


def test_who_looks_for_a_car_among_many_reads_an_index_and_not_all_of_them(history: History) -> None:
    many(history, 10_000)
    statements: list[tuple[str, object]] = []
    sqlalchemy.event.listen(
        history.engine, "before_cursor_execute", lambda *given: statements.append((given[2], given[3]))
    )
    assert found(history, "qrar 70") == ["QRAR 700", "QRAR 7000"]
    assert len(history.walked(None, 50, search="qtst")) == 50
    asked_of = [one for one in statements if "FROM car" in one[0]]
    assert len(asked_of) == 3 + 1
    how = "EXPLAIN QUERY PLAN" if history.engine.dialect.name == "sqlite" else "EXPLAIN"
    for statement, parameters in asked_of[:3]:
        with history.engine.connect() as connection:
            plan = connection.exec_driver_sql(f"{how} {statement}", parameters).all()  # type: ignore[arg-type]
        said = "\n".join(" ".join(map(str, step)) for step in plan)
        assert "sqlite_autoindex_word_1 (word>? AND word<?)" in said or "on word word_" in said, said
        assert not any(one in said for one in ("SCAN standing", "SCAN car", "SCAN word", "Seq Scan on word")), said


def walk(history: History, most: int, meanwhile: Iterator[None]) -> list[ListedCar]:
    """All cars, page by page. meanwhile: what happens between two pages."""
    met: list[ListedCar] = []
    place: Place | None = None
    while len(page := history.walked(place, most)) == most:
        met += page
        place = Place.read(str(page[-1].place))
        next(meanwhile, None)
    return [*met, *page]


def test_a_walk_through_a_list_in_which_nothing_moves_meets_each_car_once(history: History) -> None:
    fleet(history, 7)
    judge(history, "c2", ended=True, out=FIRST_DAY)
    met = walk(history, 2, iter(()))
    assert [one.car.id for one in met] == ["c0", "c1", "c3", "c4", "c5", "c6", "c2"]
    assert not any(one.moved for one in met)


def test_a_car_that_moves_behind_the_walk_is_met_at_its_end_and_one_that_is_judged_where_it_stands_once(
    history: History,
) -> None:
    fleet(history, 6)

    def meanwhile() -> Iterator[None]:
        judge(history, "c4", ended=False, out=FIRST_DAY - timedelta(9))  # before what was shown: it would be missed
        judge(history, "c0", ended=True, out=FIRST_DAY)  # behind it: it would be shown twice
        judge(history, "c3", ended=False, out=FIRST_DAY + timedelta(3))  # stands where it stood
        history.add_car(Car("c9", "QTST 9", "", AT, "owner"), (), "2026-11-01")
        yield

    met = walk(history, 2, meanwhile())
    assert [(one.car.id, one.moved) for one in met] == [
        ("c0", False), ("c1", False), ("c2", False), ("c3", False), ("c5", False), ("c4", True),
        ("c0", True), ("c9", True),
    ]  # fmt: skip
    again = [(one.car.id, one.moved) for one in walk(history, 50, iter(()))]
    assert again == [(one, False) for one in ("c4", "c9", "c1", "c2", "c3", "c5", "c0")]


@pytest.mark.parametrize("seed", range(6))
def test_no_car_is_missed_and_none_that_stands_still_is_met_twice(history: History, seed: int) -> None:
    random = Random(seed)
    fleet(history, 12)
    moved: set[str] = set()

    def meanwhile() -> Iterator[None]:
        for _ in range(20):
            one = f"c{random.randrange(12)}"
            before = history.standing(one)
            judge(history, one, ended=random.random() < 0.5, out=FIRST_DAY + timedelta(random.randrange(-3, 15)))
            after = history.standing(one)
            if (before.ended, before.out) != (after.ended, after.out):
                moved.add(one)
            yield

    met = [one.car.id for one in walk(history, 3, meanwhile())]
    assert moved, "something moved"
    assert set(met) == {f"c{number}" for number in range(12)}
    assert all(met.count(one) == 1 for one in set(met) - moved)


def test_changes_of_several_at_once_are_all_met(history: History) -> None:
    """Whoever notes a change holds back the next one until it is kept: none comes to light behind a later one."""
    fleet(history, 24)
    begun = history.walked(None, 4)

    def change(number: int) -> None:
        judge(history, f"c{number}", ended=True, out=FIRST_DAY - timedelta(number))

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(change, range(24)))
    met: list[str] = []
    page = begun
    while len(page) == 4:
        page = history.walked(page[-1].place, 4)
        met += [one.car.id for one in page]
    assert set(met) == {f"c{number}" for number in range(24)}
    assert len({history.standing(one).placed for one in set(met)}) == 24


def test_a_page_and_the_api_look_for_a_car_and_keep_looking_page_by_page(
    client: TestClient, keeping: Keeping, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("carknocker.service.pages.routes.SHOWN_AT_ONCE", 2)
    titles = [("QTST 1", "Tern & <Sons>"), ("QTST 2", "Tern Hall"), ("QTDX 5", "Other"), ("QTST 3", "Tern Mill")]
    add(keeping.history, *titles)
    first = client.get("/", params={"search": "tern qt"}).text
    assert 'name="search" value="tern qt"' in first
    assert "Tern &amp; &lt;Sons&gt;" in first
    assert "Other" not in first
    assert "Tern Mill" not in first
    more = first.partition('<a href="/?after=')[2].partition('">More cars')[0].replace("&amp;", "&")
    assert more.endswith("&search=tern%20qt")
    second = client.get(f"/?after={more}").text
    assert "Tern Mill" in second
    assert "Tern Hall" not in second
    none = client.get("/", params={"search": "<b>"}).text
    assert "words that begin so: “&lt;b&gt;”" in none
    assert "Tern Hall" in client.get("/", params={"search": "  "}).text
    told = client.get("/api/cars", params={"search": "tern", "most": 2}).json()
    assert ([one["mark"] for one in told["cars"]], told["moved"]) == (["QTST 1", "QTST 2"], [])
    rest = client.get("/api/cars", params={"search": "tern", "most": 2, "after": told["next"]}).json()
    assert ([one["mark"] for one in rest["cars"]], rest["next"]) == (["QTST 3"], None)
    assert client.get("/api/cars", params={"search": "x" * 101}).status_code == 400
    assert client.get("/api/cars?search=%00%ff%ed%a0%80").json()["cars"] == []
    asked_with = client.get("/api/openapi.json").json()["paths"]["/api/cars"]["get"]["parameters"]
    (search,) = [one for one in asked_with if one["name"] == "search"]
    assert "mark or the name" in search["description"]


def test_the_page_says_which_cars_came_or_moved_meanwhile(
    client: TestClient, keeping: Keeping, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("carknocker.service.pages.routes.SHOWN_AT_ONCE", 3)
    fleet(keeping.history, 5)
    more = client.get("/").text.partition('<a href="/?after=')[2].partition('">More cars')[0]
    heading = "Came or changed places since the first page"
    assert heading not in client.get(f"/?after={more}").text
    judge(keeping.history, "c1", ended=True, out=FIRST_DAY)
    second = client.get(f"/?after={more}").text
    assert second.index("QTST 4") < second.index(heading) < second.index("QTST 1")
    assert heading not in client.get("/").text
