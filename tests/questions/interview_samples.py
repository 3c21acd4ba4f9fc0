"""What owners of four invented cars answer, as `--answers` files, and a console that types."""

from collections.abc import Iterable

from carknocker.questions.new.answers import Answers, read_answers_file
from carknocker.questions.new.ask import starter_record
from carknocker.vocabulary.interview import load_interview

MOVE = """
host: An Inland Railroad
train: passenger
out: 2026-11-06
back: 2026-11-22
rides: nobody
from: Quillon Junction
to: Tarn Bridge
miles: 96 mi
"""
COUNTED = """
numbers: as offered
counted_by: Jane Doe
counted_on: 2026-09-01
"""
LEAST = f"mark: QZZX 1\ntruck_kind: two-axle\n{MOVE}"
COACH = f"""
mark: QZZX 9
name: Example
kind_of_car: lightweight passenger car
car_kind: coach
built_on: 1949
designed_to_carry: the public
private_car: yes
truck_kind: two-axle
frame: one-piece cast
equalized: yes
connections_to_body: [air hose, brake rod]
bearing_class: grease-lubricated roller
control_valve: D-22
release_mode: graduated
main_reservoir_line: no
signal_line: yes
braked: yes
mounting: truck
end_kind: wide vestibule
coupler_type: type H
hand_brake: B
head_end_power: yes
communication_line: no
water: yes
light_weight: 120,000 lb
spares: {{air hose: 1, hose gasket: 4, wheelset: 1}}
{COUNTED}{MOVE}"""
HEAVYWEIGHT = f"""
mark: QZZX 27
kind_of_car: heavyweight passenger car
built_on: 1927
truck_kind: three-axle
frame: built-up
equalized: yes
connections_to_body: brake rod
bearing_class: {{1-3: plain, "4, 5, 6": grease-lubricated roller}}
control_valve: UC
main_reservoir_line: no
signal_line: no
braked: yes
mounting: body
end_kind: {{B: wide vestibule, A: open platform}}
safety_gates: no
hand_brake: [B, A]
head_end_power: no
communication_line: no
{COUNTED}{MOVE}"""
BAGGAGE = f"""
mark: QZZX 40
kind_of_car: baggage or mail car
truck_kind: two-axle
equalized: yes
connections_to_body: brake rod
bearing_class: plain
main_reservoir_line: yes
signal_line: yes
braked: yes
mounting: body
end_kind: no platform
projecting_end_sill: yes
hand_brake: B
head_end_power: no
communication_line: no
{COUNTED}{MOVE}"""
CABOOSE = f"""
mark: QZZX 55
kind_of_car: caboose
designed_to_carry: railroad personnel
truck_kind: two-axle
frame: arch bar
equalized: no
connections_to_body: brake rod
bearing_class: plain
control_valve: AB
main_reservoir_line: no
signal_line: no
braked: yes
mounting: body
end_kind: open platform
safety_gates: no
hand_brake: [B, A]
head_end_power: no
communication_line: no
{COUNTED}{MOVE}"""
CARS = {"coach": COACH, "heavyweight": HEAVYWEIGHT, "baggage": BAGGAGE, "caboose": CABOOSE}


def answers(text: str) -> Answers:
    return read_answers_file(text, "answers.yaml", load_interview())


def written(text: str) -> tuple[str, str]:
    """The car record and the move that these answers make."""
    car, move = starter_record(answers(text), load_interview())
    return car.text, move.text


class Typist:
    """Types lines in turn, whatever is asked; the end of the lines is the end of the input."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = list(lines)
        self.shown: list[str] = []

    def say(self, text: str) -> None:
        self.shown.append(text)

    def read(self, prompt: str) -> str:
        self.shown.append(prompt)
        if not self.lines:
            raise EOFError
        return self.lines.pop(0)
