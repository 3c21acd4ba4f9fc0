"""What an event says of the parts on which it stands, as readings: a cracked wheel that was found is cracked."""

from collections.abc import Iterable, Iterator

from carknocker.record.model import Evidence, Work
from carknocker.record.part_keys import kind_of_key
from carknocker.record.positions import Positions
from carknocker.record.values import Word
from carknocker.vocabulary.model import Vocabulary


def told_by_events(work: Iterable[Work], positions: Positions, vocabulary: Vocabulary) -> Iterator[Evidence]:
    """One reading for each attribute that an event `tells` of a part. It was taken with the event: what the event makes
    void is older."""
    for event in work:
        tells = vocabulary.events[event.name].tells if event.event else {}
        for part in event.at if tells else ():
            kind = vocabulary.kinds[kind_of_key(part)]
            after = event.after | {event.id}
            for name in tells.get(kind.name, ()):
                yield Evidence(
                    id=f"{part} {name}, event {event.id}",
                    attribute=name,
                    part=part,
                    place=positions.place_of(kind, part, event.on, after),
                    value=Word(kind.attributes[name].bad[0]),
                    sort="reading",
                    on=event.on,
                    where=event.where,
                    by=event.by,
                    sheet=f"event {event.id}",
                    after=after,
                )
