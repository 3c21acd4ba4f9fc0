"""What may save the order of a wheelset: other work that clears what calls for it, and wheelsets on record already."""

from collections.abc import Iterator

from carknocker.judgement.model import Finding, Judgement
from carknocker.questions.fit import against_spare
from carknocker.questions.plan.jobs import Offers, spare_wheelsets
from carknocker.questions.told import Told


def instead_of_a_new_one(judgement: Judgement, axle: int, why: tuple[Finding, ...]) -> Iterator[Told]:
    """Lines, none where nothing may do instead. why: what calls for the wheelset; other work is told only where there
    is some for each of them."""
    offers = Offers(judgement)
    works: dict[str, None] = {}
    for finding in why:
        found = [
            f"{offer.job.work} ({offer.proviso.partition(': ')[2]})" if offer.proviso else offer.job.work
            for offer in offers.against(finding)
            if not offer.job.serial
        ]
        if not found:
            works.clear()
            break
        works.update(dict.fromkeys(found))
    if works:
        yield Told("other work may do", f"{'; '.join(works)}: `plan` tells what is least")
    for serial in spare_wheelsets(judgement.situation.standing):
        if not against_spare(judgement, f"axle position {axle}", serial):
            words = f"{serial}, against which nothing speaks here: `spares` tells what is shown of it"
            yield Told("on record already", words)
