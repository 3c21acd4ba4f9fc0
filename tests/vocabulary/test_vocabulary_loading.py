"""Vocabulary files: what they may say, and what is refused, with its place."""

from typing import get_args

import pytest

from carknocker.documents import InputRefused, Location, Problem
from carknocker.quantities import read_quantity
from carknocker.vocabulary import Does, SheetLine, load_vocabulary, vocabulary_texts
from carknocker.vocabulary.reader import read_vocabulary

TEXTS = vocabulary_texts()
SMALL = """
kinds:
  car: {section: car, positions: single, tag_group: other}
  end: {section: ends, positions: ends, tag_group: other, inside: [car]}
  truck:
    section: trucks
    positions: trucks
    tag_group: running gear
    inside: [car]
    descriptions: {takes_axle_class: {one_of: [C, D]}, takes_journal_centers: length}
  wheelset:
    section: wheelsets
    positions: serials
    tag_group: running gear
    inside: [truck]
    thing: yes
    descriptions: {axle_class: {one_of: [C, D]}, weight: weight}
  wheel:
    section: wheels
    positions: sides of axle
    stage: trucks
    tag_group: running gear
    hazards: [lifting]
    inside: [wheelset]
    thing: yes
    attributes: {rim_thickness: length}
tests:
  hand brake test: {attribute: hand_brake_test, on: car}
papers:
  scale ticket: {attribute: scale_ticket}
work:
  wheels turned: {on: [wheel]}
spares:
  air hose: {}
"""


def problems_of(text: str) -> tuple[Problem, ...]:
    """The problems of a further file beside a small vocabulary."""
    with pytest.raises(InputRefused) as refused:
        read_vocabulary({"small.yaml": SMALL, "zz.yaml": text})
    return refused.value.problems


def test_the_installed_vocabulary_is_loaded_once() -> None:
    assert load_vocabulary() is load_vocabulary()


def test_an_attribute_is_added_by_data_alone() -> None:
    line = "      rim_thickness: "
    changed = TEXTS["4_wheelsets.yaml"].replace(line, "      hub_width: {is: length, reads_to: 1/32 in}\n" + line, 1)
    vocabulary = read_vocabulary({**TEXTS, "4_wheelsets.yaml": changed})
    added = vocabulary.attribute("wheel", "hub_width")
    assert added is not None
    assert added.label == "hub width"
    assert added.reads_to == read_quantity("1/32 in", "length")
    assert (added.tool, added.access, added.read_by) == ("rule", "walking round", ("owner", "host"))
    assert load_vocabulary().attribute("wheel", "hub_width") is None


def test_words_that_leave_a_choice_open_are_words_of_the_choice() -> None:
    line = "      hue: {one_of: [red, green, unsorted], left_open: [unsorted]}\n      rim_thickness: "
    text = TEXTS["4_wheelsets.yaml"].replace("      rim_thickness: ", line, 1)
    added = read_vocabulary({**TEXTS, "4_wheelsets.yaml": text}).attribute("wheel", "hue")
    assert added is not None
    assert added.left_open == ("unsorted",)
    with pytest.raises(InputRefused) as raised:
        read_vocabulary({**TEXTS, "4_wheelsets.yaml": text.replace("[unsorted]", "[unsortd]")})
    assert raised.value.problems[0].nearest == "unsorted"


def test_a_further_file_adds_attributes_a_kind_a_test_and_a_spare() -> None:
    further = """
further_attributes:
  body: {stove_cold: yes or no, stove_kind: {is: text, description: yes}}
kinds:
  bell: {section: bells, positions: ends, tag_group: other, inside: [end], attributes: {rings: yes or no}}
tests:
  bell test: {attribute: bell_test, on: bell, facts: {loudness: {one_of: [soft, loud]}}}
papers:
  bell paper: {attribute: bell_paper}
work:
  bell renewed: {on: [bell], stage: brakes}
events:
  bell lost: {on: [bell]}
spares:
  bell: {thing: bell, fits: {rings: bell.rings}}
roles: [bell founder, owner]
"""
    vocabulary = read_vocabulary({**TEXTS, "zz.yaml": further})
    assert vocabulary.kinds["body"].attributes["stove_kind"].description
    assert list(vocabulary.kinds["bell"].attributes) == ["rings", "bell_test"]
    assert vocabulary.tests["bell test"].facts["loudness"].one_of == ("soft", "loud")
    assert vocabulary.attribute("car", "bell_paper") is not None
    assert vocabulary.roles.count("owner") == 1
    assert vocabulary.roles[-1] == "bell founder"


def test_a_job_takes_stage_and_hazards_of_its_kind_of_part_and_its_own_count_before_those() -> None:
    further = """
work:
  tire shrunk on: {on: [wheel], truck_out: yes}
  tire looked at: {on: [wheel, end], stage: body, hazards: []}
tests:
  tire test: {attribute: tire_test, on: wheel, whole_car: yes}
  tire count: {attribute: tire_count, on: wheel, hazards: [air]}
""".replace("stage: body", 'stage: "body, couplers and draft gear"')
    vocabulary = read_vocabulary({"small.yaml": SMALL, "zz.yaml": further})
    shrunk, looked_at = vocabulary.work["tire shrunk on"], vocabulary.work["tire looked at"]
    assert (shrunk.stages, shrunk.truck_out, shrunk.hazards) == ({"wheel": "trucks"}, True, ("lifting",))
    assert set(looked_at.stages.values()) == {"body, couplers and draft gear"}
    assert (looked_at.truck_out, looked_at.hazards) == (False, ())
    assert (vocabulary.tests["tire test"].whole_car, vocabulary.tests["tire test"].hazards) == (True, ("lifting",))
    assert (vocabulary.tests["tire count"].whole_car, vocabulary.tests["tire count"].hazards) == (False, ("air",))


def test_sheets_list_attributes_in_the_order_of_the_files() -> None:
    first = "sheets: {order: {bearings there now: [wheel.rim_thickness: 'rim of {part}']}}"
    second = "sheets: {order: {bearings there now: [car.scale_ticket], wheelset there now: []}}"
    sheets = read_vocabulary({"small.yaml": SMALL, "y.yaml": first, "z.yaml": second}).sheets
    assert sheets["order"]["bearings there now"] == (
        SheetLine("wheel", "rim_thickness", "rim of {part}"), SheetLine("car", "scale_ticket"),
    )  # fmt: skip
    assert sheets["order"]["wheelset there now"] == ()


@pytest.mark.parametrize("does", sorted(set(get_args(Does))))
def test_something_in_the_installed_vocabulary_does_each_of_what_the_program_does(does: Does) -> None:
    vocabulary = load_vocabulary()
    assert {**vocabulary.work, **vocabulary.events}[vocabulary.work_to(does)].does == does


# text, line, column, part of what is found, nearest
BAD = [
    ("further_attributes:\n  wheel: {hub: {is: lenght}}", 2, 21, "`lenght`", "length"),
    ("further_attributes:\n  wheel: {hub: lenght}", 2, 16, "`lenght`", "length"),
    ("further_attributes:\n  wheel: {hub: {is: one of}}", 2, 16, "has no list", ""),
    ("further_attributes:\n  wheel: {hub: one of}", 2, 16, "`one of`", ""),
    ("further_attributes:\n  wheel: {hub: {one_of: []}}", 2, 16, "has no list", ""),
    ("further_attributes:\n  wheel: {hub: {one_of: [a, b, a]}}", 2, 32, "`a` a second time", ""),
    ("further_attributes:\n  wheel: {hub: {is: length, one_of: [a, b]}}", 2, 37, "`one_of` for length", ""),
    ("further_attributes:\n  wheel: {hub: {label: hub}}", 2, 16, "has no type", ""),
    ("further_attributes:\n  wheel: {hub: [length]}", 2, 16, "a list of 1", ""),
    ("further_attributes:\n  wheel: {hub: {is: test}}", 2, 21, "`test`", ""),
    ("further_attributes:\n  wheel: {hub: {is: length, lable: hub}}", 2, 29, "`lable`", "label"),
    ("further_attributes:\n  wheel: {Hub: length}", 2, 11, "`Hub`", ""),
    ("further_attributes:\n  wheel: {any: length}", 2, 11, "`any`", ""),
    ("further_attributes:\n  truck: {axles: count}", 2, 11, "`axles`", ""),
    ("further_attributes:\n  wheel: {rim_thickness: length}", 2, 11, "`rim_thickness` of `wheel` a second time", ""),
    ("further_attributes:\n  whel: {hub: length}", 2, 9, "`whel`", "wheel"),
    ("further_attributes:\n  wheel: {hub: {is: length, reads_to: 1/16}}", 2, 39, "1/16", ""),
    ("further_attributes:\n  wheel: {hub: {is: length, reads_to: 2 psi}}", 2, 39, "psi", ""),
    ("further_attributes:\n  wheel: {hub: {is: count, reads_to: 1 in}}", 2, 38, "`reads_to` for count", ""),
    ("further_attributes:\n  wheel: {hub: {is: length, gauge_takes: most}}", 2, 42, "`most`", "at most"),
    ("further_attributes:\n  wheel: {hub: {is: length, signed: perhaps}}", 2, 37, "`perhaps`", ""),
    (
        "further_attributes:\n  wheel: {hub: {is: length, below_zero: less}}",
        2,
        41,
        "`below_zero` of a figure that is never below zero",
        "",
    ),
    ("further_attributes:\n  wheel: {hub: {is: length, access: pitt}}", 2, 37, "`pitt`", "pit"),
    ("further_attributes:\n  wheel: {hub: {is: length, read_by: owner or hots}}", 2, 38, "`hots`", "host"),
    (
        "further_attributes:\n  wheel: {hub: {is: length, derived: x, description: yes}}",
        2,
        38,
        "derived and a desc",
        "",
    ),
    (
        "kinds:\n  bell: {section: wheels, positions: ends, tag_group: other, inside: [end]}",
        2,
        19,
        "which `wheel` has",
        "",
    ),
    ("kinds:\n  bell: {section: tests, positions: ends, inside: [end], tag_group: other}", 2, 19, "`tests`", ""),
    ("kinds:\n  bell: {section: bells, positions: endz, inside: [end], tag_group: other}", 2, 37, "`endz`", "ends"),
    ("kinds:\n  bell: {section: bells, inside: [end], tag_group: other}", 2, 9, "no `positions`", ""),
    ("kinds:\n  bell: {positions: ends, inside: [end], tag_group: other}", 2, 9, "no `section`", ""),
    ("kinds:\n  bell: {section: bells, positions: ends, inside: [edn], tag_group: other}", 2, 51, "`edn`", "end"),
    ("kinds:\n  bell: {section: bells, positions: ends, inside: [bell], tag_group: other}", 2, 51, "inside itself", ""),
    ("kinds:\n  wheel: {section: bells, positions: ends, tag_group: other}", 2, 10, "`wheel` a second time", ""),
    ("kinds: [bell]", 1, 8, "a list of 1", ""),
    ("tests:\n  bell test: {attribute: bell_test, on: whel}", 2, 41, "`whel`", "wheel"),
    ("tests:\n  bell test: {attribute: rim_thickness, on: wheel}", 2, 26, "which `wheel` has already", ""),
    ("tests:\n  bell test: {attribute: truck, on: wheel}", 2, 26, "`truck`", ""),
    ("tests:\n  bell test: {on: wheel}", 2, 14, "the attribute ``", ""),
    ("tests:\n  bell test: {attribute: bell_test, on: wheel, facts: {result: text}}", 2, 56, "`result`", ""),
    ("tests:\n  hand brake test: {attribute: bell_test, on: wheel}", 2, 20, "a second time", ""),
    ("papers:\n  bell paper: {attribute: scale_ticket}", 2, 27, "which `car` has already", ""),
    ("papers:\n  scale ticket: {attribute: bell_paper}", 2, 17, "a second time", ""),
    ("work:\n  bell renewed: {on: [whel]}", 2, 22, "`whel`", "wheel"),
    ("work:\n  bell renewed: {}", 2, 17, "stands on nothing", ""),
    ("work:\n  bell renewed: {on: [wheel], truck_outt: yes}", 2, 31, "`truck_outt`", "truck_out"),
    ("work:\n  bell renewed: {on: [wheel, end]}", 2, 17, "`bell renewed` has no stage on `end`", ""),
    ("work:\n  bell renewed: {on: [wheel], stage: truck}", 2, 38, "`truck`", "trucks"),
    ("work:\n  bell renewed: {on: [wheel], stage: papers}", 2, 38, "`papers`", ""),
    ("work:\n  bell renewed: {on: [wheel], does: turn wheel}", 2, 37, "`turn wheel`", "turn wheels"),
    ("work:\n  bell renewed: {on: [wheel], hazards: [lift]}", 2, 41, "`lift`", "lifting"),
    ("work:\n  bell renewed: {on: [wheel], truck_out: perhaps}", 2, 42, "`perhaps`", ""),
    ("events:\n  bell lost: {on: [wheel], stage: trucks}", 2, 28, "`stage`", ""),
    ("tests:\n  bell test: {attribute: bell_test, on: wheel, whole_car: perhaps}", 2, 59, "`perhaps`", ""),
    ("spares:\n  bell: {hazards: [noise]}", 2, 20, "`noise`", ""),
    ("kinds:\n  bell: {section: bells, positions: ends, inside: [end]}", 2, 9, "no `tag_group`", ""),
    ("kinds:\n  bell: {section: bells, positions: ends, tag_group: brakes}", 2, 54, "`brakes`", "brake"),
    ("kinds:\n  bell: {section: bells, positions: ends, tag_group: other, stage: truck}", 2, 68, "`truck`", "trucks"),
    ("further_attributes:\n  wheel: {hub: {is: length, goes_with: rim}}", 2, 16, "`rim`", ""),
    ("further_attributes:\n  truck: {hub: {is: length, only_where: {axle_class: [C]}}}", 2, 16, "`axle_class`", ""),
    (
        "further_attributes:\n  truck: {hub: {is: length, only_where: {takes_axle_class: [G, C]}}}",
        2,
        16,
        "word for `takes_axle_class` `G`",
        "",
    ),
    ("work:\n  wheels turned: {on: [wheel]}", 2, 18, "a second time", ""),
    ("events:\n  wheels turned: {on: [wheel]}", 2, 18, "is work and an event", ""),
    (
        "spares:\n  bell: {thing: wheelset, fits: {axl_class: truck.takes_axle_class}}",
        2,
        45,
        "`axl_class`",
        "axle_class",
    ),
    ("spares:\n  bell: {thing: wheelset, fits: {axle_class: truck.takes_axle}}", 2, 46, "`takes_axle`", ""),
    (
        "spares:\n  bell: {thing: wheelset, fits: {weight: truck.takes_journal_centers}}",
        2,
        42,
        "where the spare has weight",
        "",
    ),
    ("spares:\n  bell: {thing: wheelset, fits: {axle_class: trick.takes_axle_class}}", 2, 46, "`trick`", "truck"),
    ("spares:\n  bell: {thing: wheelsit}", 2, 17, "`wheelsit`", "wheelset"),
    ("spares:\n  air hose: {}", 2, 13, "a second time", ""),
    (
        "further_attributes:\n  wheel: {hollow: {is: length, taken_up_by: wheel.rim_thickness}}",
        2,
        19,
        "`taken_up_by: wheel.rim_thickness`",
        "",
    ),
    ("further_attributes:\n  wheel: {hollow: {is: length, taken_up_by: lathe}}", 2, 45, "`lathe`", ""),
    ("marked:\n  wheel: {mad: [rim_thickness]}", 2, 11, "`mad`", "made"),
    ("marked:\n  wheel: {made: [rim_thickness]}", 2, 17, "`rim_thickness`", ""),
    ("marked:\n  wheels: {made: [rim_thickness]}", 2, 11, "`wheels`", "wheel"),
    ("sheets:\n  set-outs: {car: []}", 2, 13, "the sheet `set-outs`", "set-out"),
    ("sheets:\n  set-out: {cars: []}", 2, 19, "the heading of `set-out` `cars`", "car"),
    ("sheets:\n  set-out: {car: [whel.rim_thickness]}", 2, 19, "`whel`", "wheel"),
    ("sheets:\n  set-out: {car: [rim_thickness]}", 2, 19, "`rim_thickness`", ""),
    ("sheets:\n  set-out: {car: [wheel.rim_thicknes]}", 2, 19, "no attribute `rim_thicknes`", "rim_thickness"),
    ("sheets:\n  set-out: {car: [wheel.rim_thickness: '{parts}']}", 2, 40, "the label `{parts}`", ""),
    ("sheets:\n  set-out: {car: [wheel.rim_thickness: 'rim {']}", 2, 40, "the label `rim {`", ""),
    ("sheets:\n  order: [wheel.rim_thickness]", 2, 10, "a list of 1", ""),
    ("spare:\n  bell: {}", 1, 1, "`spare`", "spares"),
    ("roles: [owner, owner]", 1, 16, "`owner` a second time", ""),
    ("- wheel", 1, 1, "a list of 1", ""),
    ("", 1, 1, "an empty document", ""),
]


@pytest.mark.parametrize(("text", "line", "column", "found", "near"), BAD, ids=[case[3] for case in BAD])
def test_a_bad_file_is_refused_at_the_place(text: str, line: int, column: int, found: str, near: str) -> None:
    problem = problems_of(text)[0]
    assert problem.where == Location("zz.yaml", line, column)
    assert found in problem.found
    if near:
        assert problem.nearest == near


def test_all_problems_come_at_once() -> None:
    text = "further_attributes:\n  wheel: {hub: lenght, bore: {is: weigth}}\nwork:\n  bell renewed: {on: [whel]}\n"
    assert [str(problem.where) for problem in problems_of(text)] == ["zz.yaml:2:16", "zz.yaml:2:35", "zz.yaml:4:22"]


def test_a_paper_needs_a_car() -> None:
    with pytest.raises(InputRefused) as refused:
        read_vocabulary({"a.yaml": "papers:\n  ticket: {attribute: ticket}\n"})
    assert "`car`" in refused.value.problems[0].found


def test_a_test_names_gauges_that_there_are_and_words_of_its_facts() -> None:
    vocabulary = load_vocabulary()
    with_gauge = {name for name, test in vocabulary.tests.items() if test.gauge}
    assert with_gauge == {"brake leakage test", "brake cylinder test", "gas leak test", "head-end power test"}
    assert all(kind in vocabulary.gauge_kinds for test in vocabulary.tests.values() for kind in test.gauge)
    facts = "attribute: leak, on: car, gauge: air gauge, facts: {method: {one_of: [gauge, soap]}}"
    for said, found in (
        ("{method: suds}", "`suds`"),
        ("{methode: soap}", "`methode`, no fact of the test"),
    ):
        (problem,) = problems_of(f"tests:\n  leak test: {{{facts}, no_gauge: {said}}}\n")
        assert found in problem.found


def test_what_a_test_shows_is_an_attribute_that_says_the_same() -> None:
    facts = "attribute: leak, on: car, facts: {leakage: pressure per minute, found: {one_of: [sound, odd]}}"
    for said, found in (
        ("{leak: brake system.brake_pipe_leakage}", "`leak`, no fact of the test"),
        ("{leakage: brake.leakage}", "the kind `brake`, which there is not"),
        ("{leakage: car.leakages}", "`car` has no attribute `leakages`"),
        ("{leakage: wheel.rim_thickness}", "`leakage`, which can't say what `rim_thickness` says"),
        ("{found: wheelset.axle_class}", "`found`, which can't say what `axle_class` says"),
    ):
        (problem,) = problems_of(f"tests:\n  leak test: {{{facts}, shows: {said}}}\n")
        assert found in problem.found
    shows = {name: test.shows for name, test in load_vocabulary().tests.items() if test.shows}
    assert shows["trucks-out inspection"] == {"center_casting": ("center plate", "condition")}
    assert len(shows) == 5
