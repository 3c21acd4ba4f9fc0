"""What the host's inspector leaves on a dossier that he was given: kept as his, and never as anybody else's."""

from typing import Literal, TypeAlias, get_args

import msgspec

from carknocker.service.access.names import plain_name
from carknocker.service.access.roles import Visitor
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import Act
from carknocker.service.storage.audit import AuditList
from carknocker.service.storage.contents import ContentMissing
from carknocker.service.storage.history import NewVersion, Version

Finding: TypeAlias = Literal["received", "accepted", "declined"]
FINDINGS: tuple[str, ...] = get_args(Finding)
MOST_BY_LINK = 20
MOST_CHARACTERS = 4_000
_SHOWN = 200


class TooManyFindings(Exception):
    """A link by which as many findings were left as may be."""


class LeftFinding(msgspec.Struct, frozen=True):
    """name: as he gave it. dossier: the digest of what he was given. link: the number of the link. at: UTC."""

    finding: Finding
    name: str
    remarks: str
    dossier: str
    link: int
    at: str


class KeptFinding(msgspec.Struct, frozen=True):
    """A finding as it is shown. left: None where its text was blanked; then `entry` says what stays."""

    entry: Version
    left: LeftFinding | None


class Findings:
    """The findings on the dossiers of the cars that are kept."""

    def __init__(self, keeping: Keeping) -> None:
        self._keeping = keeping

    def open(self, who: Visitor) -> str:
        """The digest of the dossier of a link; the audit list says once that it was opened."""
        act = Act(self._keeping.written_now(), who.name, "opened the dossier", who.car, who.about[:8])
        AuditList(self._keeping.history.engine).note_once(act)
        return who.about

    def leave(self, who: Visitor, finding: Finding, name: str, remarks: str) -> None:
        """Leaves a finding on the dossier of the link by which `who` came. Raises NameRefused, TooManyFindings."""
        name = plain_name(name)
        if sum(one.left is not None and one.left.link == who.opener for one in self.of_car(who.car)) >= MOST_BY_LINK:
            raise TooManyFindings
        at = self._keeping.written_now()
        left = LeftFinding(finding, name, remarks.replace("\r\n", "\n")[:MOST_CHARACTERS], who.about, who.opener, at)
        self._keeping.add([
            NewVersion(who.car, "remark", who.about, msgspec.json.encode(left), "application/json", at,
                       f"{name}, by {who.name}", f"{finding} the dossier {who.about[:8]}")
        ])  # fmt: skip

    def of_car(self, car: str) -> tuple[KeptFinding, ...]:
        """The findings on the dossiers of a car, the newest first."""
        return tuple(self._kept(one) for one in self._keeping.history.versions(car, "remark", most=_SHOWN))

    def by_link(self, who: Visitor) -> tuple[KeptFinding, ...]:
        """Those that were left by one link: another inspector's are not shown."""
        return tuple(one for one in self.of_car(who.car) if one.left is not None and one.left.link == who.opener)

    def _kept(self, entry: Version) -> KeptFinding:
        try:
            body = self._keeping.history.body(entry.digest)[1]
        except ContentMissing:
            return KeptFinding(entry, None)
        return KeptFinding(entry, msgspec.json.decode(body, type=LeftFinding))
