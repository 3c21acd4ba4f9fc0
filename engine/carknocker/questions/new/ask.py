"""`new`: a commented starter record and move. Nothing in it is guessed: what is an example is commented out."""

from datetime import date
from string import Template

from carknocker.cli.starter_files import StarterFile, as_scalar, plain_words
from carknocker.questions.new.starter_text import CAR, MOVE, WITH_CIRCULAR, WITHOUT_CIRCULAR

_NO_HOST = "to be named"


def starter_record(*, mark: str, name: str, out: date, back: date, host: str = "") -> tuple[StarterFile, ...]:
    """A car record on two-axle trucks, and a move between two days, both commented, that can be judged as they are:
    everything is not shown. Without a host the move asks for no circular."""
    car = Template(CAR).substitute(mark=as_scalar(mark, "mark and number"), name=as_scalar(name, "name of the car"))
    move = Template(MOVE).substitute(
        host=as_scalar(host, _NO_HOST),
        circular=WITH_CIRCULAR if plain_words(host) else WITHOUT_CIRCULAR,
        out=out.isoformat(),
        back=back.isoformat(),
    )
    return (StarterFile("car.yaml", car), StarterFile("move.yaml", move))
