"""`rules new`: a commented starter circular. It binds a host's moves to the law and the trade's practice, and asks
nothing of its own until its writer types something in: what is an example is commented out."""

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from string import Template

from carknocker.cli.starter_files import StarterFile, as_scalar, write_starter
from carknocker.documents import InputRefused, Location, Problem
from carknocker.questions.rules_new.starter_text import CHAPTER, EDITION

CHAPTER_FILE = "running-gear.yaml"
_OTHER = re.compile(r"[^a-z0-9]+")


def ruleset_name(host: str) -> str:
    """The name of a host's ruleset, made of its own: `Kestrel & Northern` → `kestrel-and-northern`."""
    plain = unicodedata.normalize("NFKD", host.replace("&", " and ")).encode("ascii", "ignore").decode()
    return _OTHER.sub("-", plain.lower()).strip("-") or "host"


def starter_circular(
    *, host: str, ruleset: str, edition: str, in_force: date, builds_on: Iterable[str]
) -> tuple[StarterFile, ...]:  # fmt: skip
    """The files of an edition: its head and one chapter. builds_on: rulesets that are at hand."""
    name = " ".join(host.split())
    head = Template(EDITION).substitute(
        ruleset=as_scalar(ruleset, ruleset),
        edition=as_scalar(edition, edition, quoted=True),
        title=as_scalar(f"Circular {edition}, privately owned passenger cars in the trains of the {name}", ""),
        publisher=as_scalar(f"{name}, mechanical department", ""),
        host=as_scalar(name, ""),
        in_force=in_force.isoformat(),
        builds_on=f"[{', '.join(builds_on)}]",
    )
    chapter = Template(CHAPTER).substitute(
        document=as_scalar(f"{name} circular {edition}", "", quoted=True), year=f'"{in_force.year}"'
    )
    return StarterFile("edition.yaml", head), StarterFile(CHAPTER_FILE, chapter)


def write_circular(folder: Path, ruleset: str, edition: str, files: tuple[StarterFile, ...]) -> tuple[Path, ...]:
    """Writes the files of an edition below a folder of rulesets: all of them, or none.

    Raises InputRefused if the edition's folder holds anything already, or can't be written.
    """
    place = folder / ruleset / edition
    if place.is_dir() and any(place.iterdir()):
        raise InputRefused((
            Problem(Location(str(place), 1, 1), "the folder is there already, with files in it",
                    "a folder that is new or empty", remedy="name another edition: nothing was written"),
        ))  # fmt: skip
    return write_starter(place, files)
