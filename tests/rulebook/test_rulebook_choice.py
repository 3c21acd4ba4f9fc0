"""Which editions bind a move: hosts, days, pins, changes before the return, relaxations."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from rulebook_samples import CARRIES, FLANGE, HOST_SOURCE, chapter, head, library, move, said, write

from carknocker.documents import InputRefused
from carknocker.record.model import Move
from carknocker.rulebook import RulebookChoice

RELAXABLE = FLANGE.replace("id: flange", "id: soft") + "    may_be_relaxed: yes\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Law 1 (2020) and 2 (June 2025), trade 1, and the host's circulars 7 (2020) and 8 (10 June 2024)."""
    law = chapter(FLANGE + RELAXABLE, CARRIES)
    write(tmp_path, "law", "1", head("law", "1"), wheels=law)
    write(tmp_path, "law", "2", head("law", "2", in_force="2025-06-01"), wheels=law)
    write(tmp_path, "trade", "1", head("trade", "1", layer="trade"), a=chapter(FLANGE))
    host = chapter(FLANGE, source=HOST_SOURCE)
    write(tmp_path, "circular", "7", head("circular", "7", layer="host", builds_on="[trade, law]"), a=host)
    write(tmp_path, "circular", "8", head("circular", "8", layer="host", in_force="2024-06-10"), a=host)
    return tmp_path


def choose(folder: Path, planned: Move) -> RulebookChoice:
    return library(folder).rulebooks(planned)


def names(choice: RulebookChoice, *, back: bool = False) -> list[str]:
    rulebook = choice.at_back if back else choice.at_out
    return [] if rulebook is None else [f"{edition.ruleset} {edition.name}" for edition in rulebook.editions]


def refusal(folder: Path, planned: Move) -> str:
    with pytest.raises(InputRefused) as error:
        choose(folder, planned)
    return said(error.value.problems)


def test_lower_layers_come_first_and_what_is_built_on_comes_along(folder: Path) -> None:
    write(folder, "line", "1", head("line", "1", layer="host", host="Wren Valley", builds_on="[trade, law]"))
    assert names(choose(folder, move(host="wren valley"))) == ["law 1", "trade 1", "line 1"]


def test_only_what_a_circular_builds_on_binds(folder: Path) -> None:
    assert names(choose(folder, move("2024-01-01", "2024-01-05"))) == ["law 1", "trade 1", "circular 7"]
    assert names(choose(folder, move("2024-07-01", "2024-07-05"))) == ["law 1", "circular 8"]


@pytest.mark.parametrize(
    ("out", "edition"), [("2024-06-09", "7"), ("2024-06-10", "8"), ("2024-06-11", "8")]
)  # fmt: skip
def test_the_day_before_of_and_after_an_edition(folder: Path, out: str, edition: str) -> None:
    assert f"circular {edition}" in names(choose(folder, move(out, out)))


@pytest.mark.parametrize(("back", "changed"), [("2024-06-09", False), ("2024-06-10", True), ("2024-06-11", True)])
def test_another_edition_in_force_before_the_return(folder: Path, back: str, changed: bool) -> None:
    choice = choose(folder, move("2024-06-01", back))
    assert "circular 7" in names(choice)
    assert names(choice, back=True) == (["law 1", "circular 8"] if changed else [])
    assert any("comes into force on 2024-06-10" in note for note in choice.notes) is changed


def test_a_pinned_edition_holds_on_both_days(folder: Path) -> None:
    choice = choose(folder, move(editions={"circular": "8"}))
    assert names(choice) == ["law 1", "circular 8"]
    assert choice.at_back is None
    assert choice.notes[0] == "the move pins edition 8 of circular, which is not in force on 2024-06-01"


@pytest.mark.parametrize(("out", "outside"), [("2024-06-08", False), ("2024-06-09", True), ("2024-06-10", True)])
def test_a_pinned_edition_that_another_superseded_is_not_in_force(folder: Path, out: str, outside: bool) -> None:
    back = str(date.fromisoformat(out) + timedelta(days=1))
    (note,) = (one for one in choose(folder, move(out, back, editions={"circular": "7"})).notes if "pins" in one)
    assert ("which is not in force on" in note) is outside


def test_a_pinned_law_below_the_circular(folder: Path) -> None:
    choice = choose(folder, move("2024-07-01", "2024-07-02", editions={"law": "2"}))
    assert names(choice) == ["law 2", "circular 8"]


def test_without_a_circular_the_law_and_the_trade_bind(folder: Path) -> None:
    assert names(choose(folder, move(host="", circular=False))) == ["law 1", "trade 1"]


@pytest.mark.parametrize("keys", [{"only_where_named": "yes"}, {"layer": "host", "host": "Wren Valley"}])
def test_without_a_circular_an_edition_yet_to_come_takes_no_law_away(folder: Path, keys: dict[str, str]) -> None:
    write(folder, "law", "9", head("law", "9", in_force="2090-01-01", **keys), wheels=chapter(FLANGE, CARRIES))
    write(folder, "other", "1", head("other", "1"), a=chapter(FLANGE, CARRIES))
    assert names(choose(folder, move(host="", circular=False))) == ["law 1", "other 1", "trade 1"]


def test_without_a_circular_there_must_be_law(folder: Path) -> None:
    write(folder, "custom", "1", head("custom", "1", layer="trade", in_force="2010-01-01"))
    found = refusal(folder, move("2015-01-01", "2015-01-02", circular=False))
    assert "no law in force on 2015-01-01" in found
    assert "edition 1 in force from 2020-01-01" in found


@pytest.mark.parametrize(
    ("planned", "words"),
    [
        (move(host="Kestrel and Northern"), ["the host `Kestrel and Northern`", "/ Kestrel & Northern /"]),
        (move(editions={"laws": "1"}), ["the pinned ruleset `laws`", "/ law /"]),
        (move(editions={"circular": "88"}), ["the pinned edition `88`", "/ 8 /"]),
        (move("2024-07-01", "2024-07-02", editions={"trade": "1"}), ["which does not bind this move"]),
        (move("2019-12-31", "2020-01-01"), ["no edition of circular in force on 2019-12-31", "from 2020-01-01"]),
    ],
)  # fmt: skip
def test_a_move_that_nothing_fits(folder: Path, planned: Move, words: list[str]) -> None:
    found = refusal(folder, planned)
    for word in words:
        assert word in found


def test_an_unknown_ruleset_to_build_on(folder: Path) -> None:
    write(folder, "line", "1", head("line", "1", layer="host", host="Wren Valley", builds_on="[laws]"))
    assert "/ law /" in refusal(folder, move(host="Wren Valley"))


def test_two_circulars_of_one_host(folder: Path) -> None:
    write(folder, "second", "1", head("second", "1", layer="host"))
    found = refusal(folder, move("2024-01-01", "2024-01-02"))
    assert "circular 7, second 1" in found
    pinned = move("2024-01-01", "2024-01-02", editions={"second": "1"})
    assert names(choose(folder, pinned)) == ["law 1", "second 1"]


@pytest.mark.parametrize(
    ("until", "out", "outcome"),
    [
        ("2024-06-09", "2024-06-09", "line 1"), ("2024-06-09", "2024-06-10", "line 2"),
        ("2024-06-10", "2024-06-09", "line 1"), ("2024-06-10", "2024-06-10", "two editions of line in force at once"),
        ("2024-06-10", "2024-06-11", "line 2"),
    ],
)  # fmt: skip
def test_until_is_the_last_day_and_may_not_reach_the_next(folder: Path, until: str, out: str, outcome: str) -> None:
    keys = {"layer": "host", "host": "Wren Valley"}
    write(folder, "line", "1", head("line", "1", until=until, **keys))
    write(folder, "line", "2", head("line", "2", in_force="2024-06-10", **keys))
    planned = move(out, out, host="Wren Valley")
    if outcome.startswith("line"):
        assert outcome in names(choose(folder, planned))
    else:
        assert outcome in refusal(folder, planned)
        assert names(choose(folder, move(out, out, host="Wren Valley", editions={"line": "2"}))) == ["law 1", "line 2"]


def test_editions_that_begin_on_one_day_overlap(folder: Path) -> None:
    for name in ("1", "2"):
        write(folder, "line", name, head("line", name, layer="host", host="Wren Valley"))
    assert "two editions of line in force at once" in refusal(folder, move(host="Wren Valley"))


def test_an_edition_that_runs_out_before_the_return(folder: Path) -> None:
    write(folder, "line", "1", head("line", "1", layer="host", host="Wren Valley", until="2024-06-05"))
    assert "no edition of line in force on 2024-06-10" in refusal(folder, move(host="Wren Valley"))


def test_days_of_the_move_on_which_no_edition_is_in_force(folder: Path) -> None:
    for name, keys in (("1", {"until": "2024-06-03"}), ("2", {"in_force": "2024-06-05"})):
        write(folder, "line", name, head("line", name, layer="host", host="Wren Valley", **keys))
    found = refusal(folder, move(host="Wren Valley"))
    assert "no edition of line in force between 2024-06-03 and 2024-06-05" in found


def test_an_edition_that_follows_the_other_on_the_next_day(folder: Path) -> None:
    for name, keys in (("1", {"until": "2024-06-03"}), ("2", {"in_force": "2024-06-04"})):
        write(folder, "line", name, head("line", name, layer="host", host="Wren Valley", **keys))
    assert choose(folder, move(host="Wren Valley")).at_back is not None


def test_two_changes_during_one_move(folder: Path) -> None:
    write(folder, "circular", "9", head("circular", "9", layer="host", in_force="2024-06-20"))
    found = refusal(folder, move("2024-06-01", "2024-06-30"))
    assert "edition 8 of circular is in force only from 2024-06-10" in found
    assert "two moves" in found


def test_a_rulebook_has_the_digest_of_its_editions(folder: Path) -> None:
    planned = move("2024-07-01", "2024-07-02")
    one = choose(folder, planned).at_out
    assert one.digest == choose(folder, planned).at_out.digest
    file = folder / "law" / "1" / "wheels.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "\n# a remark\n", encoding="utf-8")
    assert one.digest != choose(folder, planned).at_out.digest


def test_relaxed_with_a_reason_a_criterion_stays_as_advice(folder: Path) -> None:
    keys = {"layer": "host", "host": "Wren Valley", "relaxes": "[{criterion: law/soft, reason: short trips}]"}
    write(folder, "line", "1", head("line", "1", **keys))
    rulebook = choose(folder, move(host="Wren Valley")).at_out
    relaxed = {criterion.id: (criterion.effect, criterion.relaxed_by) for criterion in rulebook.criteria}
    assert relaxed["law/soft"] == ("advise", "line 1: short trips")
    assert relaxed["law/flange"] == ("refuse", "")


def test_law_that_does_not_say_so_is_not_relaxed(folder: Path) -> None:
    keys = {"layer": "host", "host": "Wren Valley", "relaxes": "[{criterion: law/flange, reason: short trips}]"}
    write(folder, "line", "1", head("line", "1", **keys))
    assert "relaxes law/flange, which is law" in refusal(folder, move(host="Wren Valley"))


def test_no_move_passes_over_a_circular_that_is_at_hand(folder: Path) -> None:
    passed_over = move("2024-07-01", "2024-07-05", circular=False, host="kestrel & northern")
    assert "`circular: none`, though circular 8 of Kestrel & Northern is at hand" in refusal(folder, passed_over)
    for spelled in ("Kestrel and Northern", "Kestrel & Northern RR", "Kestral & Northern", "KESTREL  &  NORTHERN"):
        other = move("2024-07-01", "2024-07-05", circular=False, host=spelled)
        assert "circular 8 of Kestrel & Northern is at hand" in refusal(folder, other)
    another = move("2024-07-01", "2024-07-05", circular=False, host="Wren Valley Southern")
    assert names(choose(folder, another)) == ["law 1", "trade 1"]
    before = move("2019-07-01", "2019-07-05", circular=False, host="Kestrel & Northern")
    assert "circular" not in refusal(folder, before)  # none was in force; neither was any law
    assert names(choose(folder, move("2024-07-01", "2024-07-05", circular=False))) == ["law 1", "trade 1"]


@pytest.mark.parametrize("name", ["Kestrel and Northern", "Kestrel & Northern RR", "kestrel  & northern"])
def test_a_host_written_otherwise_passes_over_no_circular(folder: Path, name: str) -> None:
    passed_over = move("2024-07-01", "2024-07-05", circular=False, host=name, host_is_not=("Kestrel & Northern",))
    told = refusal(folder, passed_over)
    assert "`circular: none`, though circular 8 of Kestrel & Northern is at hand" in told
    assert "/ Kestrel & Northern / leave `circular` out" in told


@pytest.mark.parametrize("name", ["Kestral & Northern", "K&N", "Kestrel & Northern Lines"])
def test_a_host_with_a_like_name_has_to_be_said_to_be_another(folder: Path, name: str) -> None:
    days = ("2024-07-01", "2024-07-05")
    told = refusal(folder, move(*days, circular=False, host=name))
    assert f"`circular: none` for the host `{name}`, though circular 8 of Kestrel & Northern is at hand" in told
    assert "`host_is_not: Kestrel & Northern` where it is another railroad / Kestrel & Northern /" in told
    assert '`carknocker new CAR --add --answer "host_is_not=Kestrel & Northern"` writes the latter' in told
    other = move(*days, circular=False, host=name, host_is_not=("Kestrel & Northern",))
    assert names(choose(folder, other)) == ["law 1", "trade 1"]
    assert "`circular: none`" in refusal(folder, move(*days, circular=False, host=name, host_is_not=("Wren Valley",)))
