"""A form that is sent more than once under one key is entered once."""

from __future__ import annotations

import pytest

from carknocker.service.asked import EnteredForm, NewTexts
from carknocker.service.keeping import Changed, Keeping, KeyUsed


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


@pytest.fixture
def entering(keeping: Keeping, record: str, monkeypatch: pytest.MonkeyPatch) -> Keeping:
    """Where the form itself brings a line: what is looked at here is how often it is entered."""
    ask = keeping.workers.ask

    def asked(function, *given):  # type: ignore[no-untyped-def]
        if function.__name__ != "entered":
            return ask(function, *given)
        return NewTexts(given[0].record + "# a line\n", None, (), EnteredForm(1, "a line", (), (), ()))

    monkeypatch.setattr(keeping.workers, "ask", asked)
    return keeping


def test_sent_twice_it_is_entered_once_and_answered_alike(entering: Keeping, car: str) -> None:
    first = entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert entering.enter_once(car, b"form", "w.html", "owner", "k1") == first
    assert entering.newest(car, "record").number == 2
    with pytest.raises(KeyUsed):
        entering.enter_once(car, b"another", "w.html", "owner", "k1")
    entering.enter_once(car, b"form", "w.html", "owner", None)
    assert entering.newest(car, "record").number == 3


def test_where_others_write_all_the_time_it_is_refused_and_not_entered_without_its_key(
    entering: Keeping, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried: list[object] = []

    def changed(*given: object) -> EnteredForm:
        tried.append(given[-1])
        raise Changed(None)

    monkeypatch.setattr(entering, "_enter", changed)
    with pytest.raises(Changed):
        entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert len(tried) == 2
    assert None not in tried
