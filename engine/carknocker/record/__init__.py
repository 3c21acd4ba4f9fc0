"""The car record and the move: read from YAML, checked, dated; and the car as it stood on a day."""

from carknocker.record.car_reader import read_car, read_car_text
from carknocker.record.files import find_car, find_move
from carknocker.record.model import CarRecord, Move
from carknocker.record.move_reader import read_move, read_move_text
from carknocker.record.standing import Standing, stand

__all__ = [
    "CarRecord", "Move", "Standing", "find_car", "find_move", "read_car", "read_car_text", "read_move",
    "read_move_text", "stand",
]  # fmt: skip
