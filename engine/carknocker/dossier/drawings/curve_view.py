"""A car on a curve from above: trucks on the track's center line, the middle inside of it, the end corners outside."""

from fractions import Fraction
from math import sqrt

import msgspec

from carknocker.dossier.drawings.canvas import WIDTH, Canvas
from carknocker.dossier.drawings.measuring import SMALL
from carknocker.workings.curves import radius_of_degree

ACROSS = 3
"""How many times what lies across the track is drawn larger than what lies along it."""

_ROOM = 340.0
_POINTS = 24


class OnCurve(msgspec.Struct, frozen=True):
    """The geometry, inches: radius of the track, truck centers, length, width, wheelbase (0: trucks as points)."""

    radius: float
    centers: float
    length: float
    width: float
    wheelbase: float = 0.0

    @classmethod
    def of(cls, degree: Fraction, centers: Fraction, length: Fraction, width: Fraction,
           wheelbase: Fraction) -> "OnCurve":  # fmt: skip
        """For a curve of so many degrees, over 0."""
        radius = radius_of_degree(degree).amount.middle
        return cls(float(radius), float(centers), float(length), float(width), float(wheelbase))

    @property
    def middle_radius(self) -> float:
        """Radius of the circle on which the car's middle runs."""
        return sqrt(self.radius**2 - (self.wheelbase / 2) ** 2 - (self.centers / 2) ** 2)

    def track(self, along: float, aside: float = 0.0) -> float:
        """How far outside of the car's own center line the track's line lies, or one `aside` of it, at a place along
        the car from its middle."""
        return sqrt((self.radius + aside) ** 2 - along**2) - self.middle_radius

    @property
    def scale(self) -> float:
        """Units of the drawing to an inch along the car."""
        return _ROOM / self.length


def draw_curve(canvas: Canvas, car: OnCurve, top: float) -> float:
    """The view, the outside of the curve up. Returns its lower edge."""
    high = car.scale * ACROSS
    reach = max(car.track(0, car.width / 2), car.width / 2)
    middle = top + reach * high + 4
    half = car.length / 2

    def at(along: float, outside: float) -> tuple[float, float]:
        return WIDTH / 2 + along * car.scale, middle - outside * high

    left, upper = at(-half, car.width / 2)
    canvas.box(left, upper, car.length * car.scale, car.width * high, width=1.6, fill="tint")
    canvas.line(*at(-half, 0), *at(half, 0), width=0.6, dashes="10 3 2 3")
    places = [-half + car.length * number / _POINTS for number in range(_POINTS + 1)]
    canvas.shape([at(one, car.track(one)) for one in places], closed=False, width=1.6)
    for aside in (car.width / 2, -car.width / 2):
        canvas.shape([at(one, car.track(one, aside)) for one in places], closed=False, dashes="5 3")
    for along in (-car.centers / 2, car.centers / 2):
        canvas.circle(*at(along, 0), 3.5, filled=True)
    x, y = at(0, car.track(0))
    canvas.text(x, y - 5, "swing-in", anchor="middle", size=SMALL)
    x, y = at(-half, car.track(half, car.width / 2))
    canvas.text(x + 5, y + 14, "swing-out", size=SMALL)
    lowest = min(car.track(half, -car.width / 2), -car.width / 2)
    return at(0, lowest)[1] + 4
