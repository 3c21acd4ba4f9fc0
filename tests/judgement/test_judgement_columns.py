"""The flat way through the commonest criterion decides as the general one does, part by part."""

from datetime import timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from random_worlds import NOWHERE, OUT, car_record, compare, criterion, move, reading

from carknocker.judgement.columns import Columns
from carknocker.judgement.criteria import compile_criterion
from carknocker.judgement.findings import findings_of, judge_part
from carknocker.judgement.situation import Situation
from carknocker.quantities import Quantity
from carknocker.record.model import Gauge
from carknocker.record.standing import stand
from carknocker.record.values import Bound, Figure, NotAccessible

WHEELS = [f"wheel W-{number} {side}" for number in range(1, 5) for side in ("left", "right")]
FLANGE = "flange_thickness"
STEPS = st.sampled_from([None, Fraction(1, 64), Fraction(1, 16), Fraction(1, 4)])


def inches(amount):
    return Quantity.of("length", amount, "in")


def situation_of(evidence):
    planned = move()
    return Situation(stand(car_record(evidence), planned, OUT), planned, {})


@st.composite
def read_wheels(draw):
    """Flanges near 7/8 in, read to a step that is known or not, some go/no-go, some not accessible, some not at all."""
    evidence = []
    for wheel in draw(st.lists(st.sampled_from(WHEELS), unique=True)):
        figure = inches(draw(st.sampled_from([Fraction(0), *(Fraction(n, 64) for n in range(52, 60))])))
        value = draw(
            st.sampled_from(
                [
                    Figure(figure),
                    Figure(figure),
                    Bound(figure, True, None, False),
                    Bound(figure, False, figure, False),
                    NotAccessible("pit"),
                ]
            )
        )
        step, uncertainty = draw(STEPS), draw(STEPS)
        resolution = None if step is None else inches(step)
        gauge = None if step is None else Gauge("G", "gauge", resolution, None, None, NOWHERE)
        more = {} if uncertainty is None or step is None else {"gauge_uncertainty": inches(uncertainty)}
        evidence.append(
            reading(wheel, FLANGE, value, OUT - timedelta(days=1), gauge=gauge, resolution=resolution, **more)
        )
    return evidence


@given(
    evidence=read_wheels(),
    word=st.sampled_from(["over", "at_least", "under", "at_most"]),
    limit=st.integers(53, 58),
    borderline=st.sampled_from(["advise", "refuse"]),
)
def test_a_column_decides_as_each_part_by_itself(evidence, word, limit, borderline):
    must = compare("wheel", FLANGE, word, Figure(inches(Fraction(limit, 64))))
    one = compile_criterion(criterion("flange", "wheel", must, borderline=borderline))
    assert one.single is not None
    situation = situation_of(evidence)
    wheels = situation.standing.by_kind["wheel"]
    assert findings_of((one,), situation, lambda: None) == [
        judge_part(one, wheel, situation, lambda: None) for wheel in wheels
    ]


def test_a_row_has_the_exact_figure_and_how_far_it_may_be_off():
    value = Figure(inches(Fraction(57, 64)))
    read = reading(WHEELS[0], FLANGE, value, OUT, resolution=inches(Fraction(1, 32)))
    situation = situation_of([read])
    columns = Columns(situation)
    column = columns.column(situation.standing.by_kind["wheel"], FLANGE)
    part, evidence, n, d, uncertainty, reso_d = next(row for row in column if row[0].key == WHEELS[0])
    assert evidence is read
    assert Fraction(n, d) == value.quantity.amount
    assert Fraction(uncertainty, d * reso_d) == inches(Fraction(1, 32)).amount
    assert [row[1:] for row in column if row[0] is not part] == [(None, 0, 0, 0, 0)] * 7
    assert columns.column(situation.standing.by_kind["wheel"], FLANGE) is column
