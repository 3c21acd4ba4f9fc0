"""Work, events, spares and a host's written leave, in words."""

from carknocker.record.model import Leave, Spare, Work


def work_words(work: Work) -> str:
    """`J-12 service portion replaced, 2026-09-24`."""
    return f"{work.id} {work.name}, {work.on.isoformat()}"


def work_with_parts(work: Work) -> str:
    """`J-12 wheelset renewed, 2026-10-02, axle 3: W-33 off, W-41 fitted`."""
    changed = [f"{work.off} off"] if work.off else []
    changed.extend([f"{work.fitted} fitted"] if work.fitted else [])
    at = f", axle {work.axle}" if work.axle is not None else ""
    return f"{work.id} {work.name}, {work.on.isoformat()}{at}" + (f": {', '.join(changed)}" if changed else "")


def leave_words(leave: Leave) -> str:
    """`L-1 of HOST for flange-thickness, 2026-11-01 to 2026-11-30, signed by …`."""
    return (
        f"{leave.id} of {leave.host} for {leave.criterion}, {leave.first.isoformat()} to {leave.last.isoformat()}, "
        f"signed by {leave.signed_by}" + (f", {leave.paper}" if leave.paper else "")
    )


def spare_words(spare: Spare) -> str:
    """`wheelset W-50: 1 carried, 0 on the shelf`."""
    return f"{spare.name} {spare.serial}".strip() + f": {spare.carried} carried, {spare.shelf} on the shelf"
