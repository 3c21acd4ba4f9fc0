"""The attributes that the program itself draws, writes or looks at, by name; all others are data to it.

The figures that are worked out name what they are made of in the room of workings.
"""

BACK_TO_BACK = "back_to_back"
TAPE_SIZE = "tape_size"
