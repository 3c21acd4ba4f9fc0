"""`setout` and `wheel-order`: sheets for strangers, with what is missing said as missing; the tape sizes wanted."""

import pytest
import repair_samples as samples
from case_list import answer as case_answer
from msgspec.structs import replace

from carknocker.documents import InputRefused
from carknocker.page.sheet import sheet_page
from carknocker.page.text import text_of
from carknocker.questions.setout.ask import setout
from carknocker.questions.wheel_order.ask import needed_at, wheel_order
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.whatif.tape_window import tape_window, window_line


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


def lines_of(answer, heading):
    section = next(one for one in answer.sections if one.heading.startswith(heading))
    return {line.label: line for line in section.lines}


def sheet(text, sure=False, **sizes):
    """The record with the sizes of some wheels, as a later sheet has them. sure: whether it says how it is sure."""
    why = ", sure: seen by two" if sure else ""
    wheels = ", ".join(
        f"{wheel}: {{tape_size: {{reads: {size} tapes, gauge: G-1{why}}}, tape_id: T-1}}"
        for wheel, size in sizes.items()
    )
    day = 22 + text.count("  - {on: 2030-04-2")
    entry = f"  - {{on: 2030-04-{day}, by: RE, readings: {{wheels: {{{wheels}}}}}}}\n"
    return text.replace("# work comes after\n", f"{entry}# work comes after\n")


def test_the_window_is_what_the_spread_of_the_truck_leaves(yard):
    window = tape_window(samples.answer(yard).judgement, 1)
    assert (window.least, window.most) == ("30 tapes", "50 tapes")  # the other axle has 40; ten on each side
    assert window.tape == "tape T-1"
    assert all("within ten tapes" in words for words in window.because)
    assert window.mates == ("Mates within two tapes: tape difference of the two wheels at most 2 tapes",)


def test_the_window_narrows_with_the_sizes_of_the_neighbors(yard):
    text = sheet(samples.car_text(), L2="38", R2="39")
    window = tape_window(samples.answer(yard, text).judgement, 1)
    assert (window.least, window.most) == ("29 tapes", "48 tapes")
    alone = tape_window(samples.answer(yard, text).judgement, 2)
    assert (alone.least, alone.most) == ("30 tapes", "50 tapes")


def test_the_window_agrees_with_judging_each_size(yard):
    text = sheet(samples.car_text(), L2="38", R2="39")
    for size, passes in ((28, False), (29, True), (48, True), (49, False)):
        tried = samples.answer(yard, sheet(text, L1=str(size), R1=str(size)))
        refused = {one.finding.criterion.name for one in tried.judgement.refusals if one.finding is not None}
        assert ("spread" not in refused) == passes


def test_where_no_size_can_pass_it_says_why(yard):
    text = samples.car_text().replace(", tape_size: 40 tapes, tape_id: T-1", "")
    window = tape_window(samples.answer(yard, text).judgement, 1)
    assert window.missing == "no other wheel has a tape size on record that counts"
    half = sheet(text, L2="38")
    assert "not read" in tape_window(samples.answer(yard, half).judgement, 1).missing
    apart = sheet(samples.car_text(), L2="30", R2="45")
    doubted = tape_window(samples.answer(yard, apart).judgement, 1).missing
    assert doubted.startswith("tape size of wheel L2: doubtful: mates leave the lathe alike, and these tapes do not")
    sure = sheet(samples.car_text(), sure=True, L2="30", R2="45")
    assert "differ too much already" in tape_window(samples.answer(yard, sure).judgement, 1).missing
    assert not window_line(window).known


def test_setout_tells_what_strangers_need(yard):
    answer = setout(samples.answer(yard))
    call = lines_of(answer, "Whom to call")
    assert (call["who can decide"].text, call["telephone"].text) == ("R. Example", "555 0100")
    assert lines_of(answer, "Weights")["gross weight ready to run"].text == "150,000 lb (2030-04-20, R. Example)"
    truck = next(one for one in answer.sections if one.heading == "truck B")
    assert [line.written for line in truck.lines if line.label == "disconnect"] == [
        "[  ] air hose",
        "[  ] ground strap",
    ]
    axle = lines_of(answer, "Every axle")
    assert axle["journal centers"].text == "6 ft 5 in"
    assert axle["tape size wanted"].text == "30 tapes to 50 tapes, by tape T-1, both wheels alike"
    assert axle["tape size of the left wheel now"].text.startswith("40 tapes (")
    spare = lines_of(answer, "Spare wheelsets aboard")
    assert spare["where the spare wheelset is stowed"].text == "baggage room"
    assert spare["serves at"].text == "axles 1, 2, 3, 4"


def test_setout_says_what_is_missing_and_guesses_nothing(yard):
    answer = setout(samples.answer(yard))
    assert not lines_of(answer, "Lifting")["lifting points"].known
    missing = [line.text for line in lines_of(answer, "truck A").values() if not line.known]
    assert missing
    page = text_of(sheet_page(answer))
    assert f"{answer.missing} lines are not on record" in page.replace("\n", " ")
    assert page.count("MISSING:") == answer.missing


def test_setout_names_the_rules_that_follow_from_a_change(yard):
    assert lines_of(setout(samples.answer(yard)), "After a wheelset").keys() == {"voids and asks for"}


def breached():
    return samples.car_text().replace(
        "    # his note on that sheet\n",
        "\n  - {on: 2030-04-21, by: RE, gauge: G-1, readings: {wheels: {L1: {flange_thickness: 7/8 in}}}}\n",
    )


def test_order_is_for_the_axles_whose_wheelset_a_renewal_clears(yard):
    answer = samples.answer(yard, breached())
    assert list(needed_at(answer.judgement)) == [1]
    sheet_ = wheel_order(answer)
    assert lines_of(sheet_, "Why")["why"].text == "Wheel L1: flange thickness 7/8 in; must be over 7/8 in"
    lines = lines_of(sheet_, "For axle 1 (truck B)")
    assert lines["comes off"].text == "W-1 at axle 1"
    assert lines["axle class: the truck takes"].text == "D"
    assert lines["journal centers: the truck takes"].text == "6 ft 5 in"
    assert "comes off: drawing of the modification" not in lines  # the axle is said not to be modified
    assert lines["tape size wanted"].text == "30 tapes to 50 tapes, by tape T-1, both wheels alike"
    assert lines["tape size of wheel L2, R2, which stays"].text.startswith("40 tapes (")
    assert lines["class of bearing wanted"].text == "sealed tapered cartridge or grease-lubricated roller"
    assert lines["comes off: class of bearing"].text == "grease-lubricated roller"


def test_a_refused_bearing_is_not_what_the_shop_is_to_match(yard):
    text = samples.car_text().replace("class: grease-lubricated roller", "class: plain", 1)
    lines = lines_of(wheel_order(samples.answer(yard, text)), "All of them")
    assert lines["comes off: class of bearing"].text == "plain, which is not accepted"
    assert not any("lubricant" in label for label in lines)


def test_order_says_which_papers_must_come_back(yard):
    papers = next(one for one in wheel_order(samples.answer(yard, breached())).sections if "come back" in one.heading)
    (table,) = papers.tables
    assert table.columns[1:] == ("for axle 1",)
    labels = [row[0] for row in table.rows]
    titles = dict.fromkeys(label.partition(":")[0] for label in labels[: labels.index("wheelset: serial or own mark")])
    assert list(titles) == ["mounting", "bearings", "testing of the axle", "anything modified"]
    assert "anything modified: wheelset: drawing of the modification" in labels
    assert any(note.startswith("Bearings rebuilt within 10 years") for note in papers.notes)
    assert not any("Flange" in note for note in papers.notes)  # an owner reads that, no shop


def test_rules_about_plain_journals_are_not_asked_where_no_plain_bearing_may_come():
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "before"
    car, move = ((case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
    sheet_ = wheel_order(samples.answer(library, car, as_of=samples.date(2026, 10, 8), move=move))
    notes = next(one for one in sheet_.sections if "come back" in one.heading).notes
    assert any(note.startswith("Wheelset tied to its shop paper") for note in notes)
    told = {note.partition(":")[0] for note in notes if "plain" in note}
    assert told == {"Roller bearing reconditioned within 10 years or 500,000 miles"}  # of none but plain bearings


@pytest.mark.parametrize(
    ("standard", "said"),
    [
        ("6 ft 4 in", "1 in more than the standard 6 ft 4 in: not interchangeable"),
        ("6 ft 5-1/2 in", "1/2 in less than the standard 6 ft 5-1/2 in: not interchangeable"),
        ("6 ft 5 in", "none: as the standard"),
    ],
)
def test_order_says_how_journal_centers_differ_from_the_standard(yard, standard, said):
    text = breached().replace(
        "    takes_journal_centers: 6 ft 5 in\n",
        "    takes_journal_centers: 6 ft 5 in\n"
        f"    standard_journal_centers: {standard}\n    standard_journal_centers_by: the shop\n",
    )
    lines = lines_of(wheel_order(samples.answer(yard, text)), "For axle 1")
    assert lines["difference from the standard"].text == said
    assert lines["stated by"].text == "the shop"


def test_order_never_states_a_standard_that_the_record_has_not(yard):
    sheet_ = wheel_order(samples.answer(yard), 3)
    lines = lines_of(sheet_, "For axle 3")
    line = lines["difference from the standard"]
    assert (line.known, line.missing) == (False, False)  # the wheel shop knows it, not the owner
    assert line.text == "can't be told: the journal centers of a standard axle of that class are not on record"
    assert not lines["comes off: drawing of the modification"].known


def test_order_without_a_need_says_so_and_an_axle_that_is_not_there_is_refused(yard):
    answer = samples.answer(yard)
    assert [one.heading for one in wheel_order(answer).sections] == ["No wheelset is needed"]
    unread = samples.answer(yard, samples.car_text().replace("rim_thickness: ", "tread_hollow: "))
    section = wheel_order(unread).sections[0]
    assert section.heading == "No wheelset needed, as far as the record shows"
    assert "not shown yet" in section.notes[1]
    with pytest.raises(InputRefused, match="axle 9"):
        wheel_order(answer, 9)


def test_the_demo_car_orders_wheelsets_for_its_plain_bearings_and_the_worn_flange():
    library = load_library(rulesets_folders())
    case = samples.Path(__file__).parent.parent.parent / "cases" / "wren-hollow" / "before"
    car, move = ((case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml"))
    answer = samples.answer(library, car, as_of=samples.date(2026, 10, 8), move=move)
    assert list(needed_at(answer.judgement)) == [1, 2, 3, 5]
    sheet_ = wheel_order(answer)  # the plan buys three, and turns the wheels of the fourth
    assert sheet_.for_whom.startswith("3 wheelsets, for axles 1, 2 and 3; ")
    (line,) = next(one for one in sheet_.sections if one.heading == "No wheelset is ordered for").lines
    assert line.label == "axle 5"
    assert line.text == ("wheels turned; it clears: Wheel R5: flange 7/8 in or thinner; must be over 7/8 in")
    assert wheel_order(answer, 5).for_whom.startswith("1 wheelset, for axle 5; ")


def two_breached():
    """Both wheelsets of truck B."""
    return samples.car_text().replace(
        "    # his note on that sheet\n",
        "\n  - {on: 2030-04-21, by: RE, gauge: G-1, readings: {wheels: {L1: {flange_thickness: 7/8 in}, R2: "
        "{flange_thickness: 7/8 in}}}}\n",
    )


def test_axles_that_are_alike_are_told_once(yard):
    sheet_ = wheel_order(samples.answer(yard, two_breached()))
    assert sheet_.for_whom.startswith("2 wheelsets, for axles 1 and 2; ")
    headings = [one.heading for one in sheet_.sections]
    assert headings[:4] == ["To be filled in by the purchaser", "Why", "All of them", "For axles 1 and 2 (truck B)"]
    assert [line.label for line in sheet_.sections[3].lines] == ["comes off"]
    assert sheet_.sections[3].lines[0].text == "W-1 at axle 1, W-2 at axle 2"
    why = [line.text for line in sheet_.sections[1].lines]
    assert why == ["Wheels L1, R2: flange thickness 7/8 in; must be over 7/8 in"]


def test_what_law_and_host_say_of_one_reading_is_told_once_as_in_the_dossier():
    (section,) = (one for one in wheel_order(case_answer("two-nations/south")).sections if one.heading == "Why")
    assert [line.text for line in section.lines] == [
        "Wheel R2: flange 1-1/2 in high; must be under 1-1/2 in by law, and at most 1-7/16 in by the host",
        "Wheel L2: rim 15/16 in; must be at least 1 in",
    ]


def test_each_wheelset_ordered_has_its_own_boxes(yard):
    papers = wheel_order(samples.answer(yard, two_breached())).sections[-1]
    (table,) = papers.tables
    assert table.columns == ("box", "for axle 1", "for axle 2")
    assert {row[1:] for row in table.rows} == {("", "")}
    labels = [row[0] for row in table.rows]
    assert len(labels) == len(set(labels))
    assert {"wheel, left: heat or serial", "wheel, right: heat or serial"} <= set(labels)
    assert "wheel: wear kind" in labels


def test_what_the_purchaser_has_to_say_is_left_blank(yard):
    sheet_ = wheel_order(samples.answer(yard, breached()))
    assert sheet_.sections[0].blanks == (
        "quantity", "order number", "purchaser, telephone", "ship to", "wanted by", "signature and date",
    )  # fmt: skip
    text = " ".join(text_of(sheet_page(sheet_)).split())
    assert "quantity ____" in text
    assert text.startswith("TSTX 1 Sample: order for the wheel shop ORDER: 1 wheelset, for axle 1; for a move with")


def test_wheelsets_that_are_ordered_together_are_sized_together(yard):
    """Ten tapes of spread in a truck: one by one each may be 30 to 50 beside the 40 that stays; where neither stays,
    any size will do, and all four wheels are to be alike."""
    judgement = samples.answer(yard).judgement
    for axle in (1, 2):
        assert (tape_window(judgement, axle).least, tape_window(judgement, axle).most) == ("30 tapes", "50 tapes")
    both = tape_window(judgement, 1, 2)
    assert (both.least, both.most, both.axles) == ("", "", (1, 2))
    assert window_line(both).text == "any, by tape T-1, all 4 wheels alike"
    lines = lines_of(wheel_order(samples.answer(yard, two_breached())), "All of them")
    assert lines["tape size wanted"].text == "any, by tape T-1, all 4 wheels alike"


def test_where_no_rule_compares_wheels_any_size_will_do_and_nothing_is_missing(yard):
    window = tape_window(samples.answer(yard).judgement, 1)
    line = window_line(replace(window, compared=False))
    assert (line.known, line.text) == (True, "any: no rule of this move compares it with the other wheels")


def test_missing_is_said_only_of_what_the_owner_can_supply(yard):
    """The axle's length is read by a shop, its flange kind by the owner too."""
    sheet_ = wheel_order(samples.answer(yard, breached()))
    lines = lines_of(sheet_, "For axle 1")
    length = lines["comes off: axle length"]
    assert (length.known, length.missing, length.text) == (False, False, "not on record")
    page = text_of(sheet_page(sheet_))
    assert "comes off: axle length: not on record" in page
    assert page.count("MISSING:") == sheet_.missing


def test_set_out_has_the_telephones_of_the_record(yard):
    people = '  RE: {role: owner, full_name: "R. Example"'
    text = samples.car_text()
    assert people in text
    call = lines_of(
        setout(samples.answer(yard, text.replace(people, f"{people}, telephone: 555 0199"))), "Whom to call"
    )
    assert call["owner"].text == "R. Example, 555 0199"
    assert lines_of(setout(samples.answer(yard)), "Whom to call")["owner"].text == "R. Example, telephone not on record"


def test_without_a_contact_card_the_owner_with_a_telephone_decides(yard):
    people = '  RE: {role: owner, full_name: "R. Example"'
    text = "".join(
        line for line in samples.car_text().splitlines(keepends=True) if "contact who can decide" not in line
    )
    missing = lines_of(setout(samples.answer(yard, text)), "Whom to call")
    assert missing["who can decide"].missing
    assert missing["telephone"].missing
    known = setout(samples.answer(yard, text.replace(people, f"{people}, telephone: 555 0199")))
    call = lines_of(known, "Whom to call")
    assert (call["who can decide"].text, call["telephone"].text) == ("R. Example (owner)", "555 0199")
    assert "owner" not in call
