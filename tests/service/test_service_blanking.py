"""What the owner takes away is gone: from the database, from its log, from the folder, and from every later backup."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service import blanking
from carknocker.service.access.links import Links
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.asked import EnteredForm
from carknocker.service.findings import Findings
from carknocker.service.keeping import Keeping, Sent
from carknocker.service.not_taken import KeyUsed, NotThere
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.backup import read_backup, write_backup
from carknocker.service.storage.car_list import Car
from carknocker.service.storage.contents import MOST_BYTES_IN_DATABASE, ContentMissing, file_of
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History, NewVersion, Once, StillNeeded, Version

AT = "2026-10-08T12:00:00Z"
FACE = b"a face, and a name."
OWNER = Visitor("owner", Role.OWNER)


def face(size: int) -> bytes:
    return FACE * (size // len(FACE) + 1)


def holding(folder: Path) -> list[str]:
    """The files of a folder that hold the bytes."""
    return [one.name for one in sorted(folder.rglob("*")) if one.is_file() and FACE in one.read_bytes()]


@pytest.mark.parametrize("size", [1_000, 100_000, MOST_BYTES_IN_DATABASE + 1])
def test_no_file_of_the_folder_holds_the_bytes_any_more(tmp_path: Path, size: int) -> None:
    """Also while the service runs, whose database keeps a log of what it wrote."""
    history = History(open_database(tmp_path), tmp_path)
    history.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    (kept,) = history.add([NewVersion("c1", "photograph", "p", face(size), "image/jpeg", AT, "owner")])
    history.add([NewVersion("c1", "photograph", "q", b"other", "image/jpeg", AT, "owner")])
    assert holding(tmp_path)
    history.blank([kept.digest], AT, "owner", "a face")
    assert holding(tmp_path) == []
    history.engine.dispose()
    assert holding(tmp_path) == []


def test_what_was_answered_to_a_form_goes_with_what_it_brought(tmp_path: Path, keeping: Keeping) -> None:
    """A phone sends each form under a key, and what was answered is kept to be answered again."""
    history = History(open_database(tmp_path), tmp_path)
    history.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    once = Once("k77", "digest", face(1_000), AT)
    (kept, _) = history.add(
        [
            NewVersion("c1", "form", "f", face(500), "text/plain", AT, "owner"),
            NewVersion("c1", "form", "g", b"other", "text/plain", AT, "owner"),
        ],
        once,
    )
    assert history.answered_before("k77") == ("digest", face(1_000))
    history.blank([kept.digest], AT, "owner", "a name")
    assert history.answered_before("k77") == ("digest", b"")
    assert holding(tmp_path) == []
    again = Keeping(history, keeping.workers, keeping.now)
    with pytest.raises(KeyUsed):
        again.said_before(Sent("k77", "digest"), EnteredForm)
    history.engine.dispose()


def test_no_later_backup_holds_them_and_what_is_restored_from_it_says_why(tmp_path: Path, database: str | None) -> None:
    history = History(open_database(tmp_path / "first", database), tmp_path / "first")
    history.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    bodies = [face(1_000), face(MOST_BYTES_IN_DATABASE + 1)]
    kept = history.add([
        NewVersion("c1", "photograph", f"p{size}", body, "image/jpeg", AT, "owner") for size, body in enumerate(bodies)
    ])  # fmt: skip
    history.blank([one.digest for one in kept], AT, "owner", "a face")
    to = io.BytesIO()
    write_backup(history.engine, history.data, to, AT)
    with zipfile.ZipFile(to) as archive:
        assert not [name for name in archive.namelist() if FACE in archive.read(name)]
    second = History(open_database(tmp_path / "second"), tmp_path / "second")
    read_backup(second.engine, second.data, to)
    for one in kept:
        with pytest.raises(ContentMissing, match="taken away on 2026-10-08 by owner: a face"):
            second.body(one.digest)
    history.engine.dispose()
    second.engine.dispose()


def test_a_file_that_a_killed_process_left_goes_at_the_next_start(keeping: Keeping) -> None:
    history = keeping.history
    history.add_car(Car("c1", "QTST 1", "Test", AT, "owner"))
    body = face(MOST_BYTES_IN_DATABASE + 1)
    (kept,) = history.add([NewVersion("c1", "photograph", "p", body, "image/jpeg", AT, "owner")])
    history.blank([kept.digest], AT, "owner", "a face")
    file_of(history.data, kept.digest).write_bytes(body)
    keeping.ensure()
    assert not file_of(history.data, kept.digest).exists()


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def send(client: TestClient, car: str, entry: int, *also: int) -> int:
    address = f"/cars/{car}/history/{entry}/blank"
    given = {"token": token(client, f"/cars/{car}"), "why": "a person", "also": [str(one) for one in also]}
    return client.post(address, data=given).status_code


def is_gone(keeping: Keeping, one: Version) -> bool:
    try:
        keeping.history.body(one.digest)
    except ContentMissing:
        return True
    return False


def test_an_old_version_of_the_record_can_go_and_the_newest_can_not(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    for _ in range(2):
        version, text = keeping.text(car, "record")
        keeping.accept(car, "record", f"{text}# more\n", "owner", "", version.number)
    first, second, third = (keeping.history.version(car, "record", "", number) for number in (1, 2, 3))
    shown = client.get(f"/cars/{car}").text
    assert f"/history/{first.id}/blank" in shown
    assert f"/history/{third.id}/blank" not in shown
    assert f'value="{second.id}"> record 2' in client.get(f"/cars/{car}/history/{first.id}/blank").text
    assert send(client, car, third.id) == 404
    assert send(client, car, first.id, third.id) == 404, "and nothing of the lot"
    assert not is_gone(keeping, first)
    assert send(client, car, first.id, second.id) == 303
    assert (is_gone(keeping, first), is_gone(keeping, second), is_gone(keeping, third)) == (True, True, False)
    assert client.get(f"/cars/{car}/compare/1/3").status_code == 410
    assert client.get(f"/api/cars/{car}/texts/record?version=2").status_code == 410
    assert client.get(f"/cars/{car}/check").status_code == 200


def test_what_another_car_is_judged_by_stays(
    client: TestClient, keeping: Keeping, car: str, record: str, move: str
) -> None:
    other = keeping.add_car(record, move, "owner").id
    version, text = keeping.text(car, "record")
    keeping.accept(car, "record", f"{text}# more\n", "owner", "", version.number)
    assert send(client, car, version.id) == 422
    assert not is_gone(keeping, version)
    with pytest.raises(StillNeeded):
        keeping.history.blank([version.digest], AT, "owner", "a person")
    assert keeping.text(other, "record")[1] == text


def test_a_finding_and_what_a_shop_sent_can_go(client: TestClient, keeping: Keeping, car: str) -> None:
    links = Links(AccountStore(keeping.history.engine), keeping.now)
    dossier = keeping.give_out(car, "markdown", keeping.today(), "owner").digest
    said = links.make(Role.INSPECTOR, car, dossier, "", 9, OWNER)
    Findings(keeping).leave(links.visitor(Role.INSPECTOR, said), "declined", "Lee Alder", "call 555 0100")
    body = NewVersion(car, "sent form", "7 brakes", FACE, "application/octet-stream", AT, "Kim, by shop's link 7")
    (form,) = keeping.history.add([body])
    (remark,) = keeping.history.versions(car, "remark")
    assert send(client, car, remark.id) == 303
    assert send(client, car, form.id) == 303
    assert "555 0100" not in client.get(f"/cars/{car}").text
    assert is_gone(keeping, form)


def test_the_same_bytes_twice_and_an_entry_of_long_ago_can_go(client: TestClient, keeping: Keeping, car: str) -> None:
    forms = keeping.history.add([
        NewVersion(car, "form", "", b"%d" % (number // 2), "application/octet-stream", AT, "owner")
        for number in range(600)
    ])  # fmt: skip
    assert send(client, car, forms[0].id, forms[1].id) == 303
    assert (is_gone(keeping, forms[1]), is_gone(keeping, forms[2])) == (True, False)
    with pytest.raises(NotThere):
        blanking.blankable(keeping, car, forms[0].id)


def test_no_answer_that_was_made_before_is_kept(keeping: Keeping, car: str) -> None:
    keeping.answer(car, "check", "html", keeping.today())
    assert keeping.workers._kept
    (kept,) = keeping.history.add([NewVersion(car, "form", "", FACE, "application/octet-stream", AT, "owner")])
    blanking.blank(keeping, car, [kept.id], "owner", "a person")
    assert not keeping.workers._kept
