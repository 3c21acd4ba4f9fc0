"""The tray: sheets of a form that could not be taken, kept beside the record with the reasons, as a form again."""

import hashlib
import io
import json
from pathlib import PurePath
from typing import Any

from ruamel.yaml import YAML

from carknocker.documents.visible_text import one_line, visible_json
from carknocker.forms.text_forms import FORM, LAST_LINE
from carknocker.questions.enter.ask import Entered, Held
from carknocker.vocabulary import load_vocabulary


def tray_name(entered: Entered, form: str) -> str:
    """The name of the file: of the form, and of what is held, so that nothing held before is written over."""
    digest = hashlib.sha256(repr(entered.held).encode("utf-8")).hexdigest()[:8]
    return f"{PurePath(form).stem}.held-{digest}.yaml"


def tray_text(entered: Entered, mark: str) -> str:
    """The held sheets as a form: put right, it can be entered like any other."""
    lines = [
        "# Sheets that were not taken, each with the reason. Put them right, then: carknocker enter CAR THIS-FILE",
        f"format: {FORM}",
        f"car: {visible_json(json.dumps(mark, ensure_ascii=False))}",
        "sheets:",
    ]
    for one in entered.held:
        lines += _sheet(one)
    lines.append(f"{LAST_LINE}: yes")
    return "\n".join(lines) + "\n"


def _sheet(held: Held) -> list[str]:
    lines = [f"  # {one_line(held.title)}"]
    for problem in held.problems:
        expected = f"; expected: {problem.expected}" if problem.expected else ""
        lines.append(f"  #   {problem.where}: {one_line(problem.found)}{one_line(expected)}")
    kinds = {kind.section: kind for kind in load_vocabulary().kinds.values()}
    readings: dict[str, Any] = {}
    for section, parts in held.sheet.readings.items():
        kind = kinds[section]
        if kind.positions == "single":
            readings[kind.name] = parts
        else:
            readings.update((f"{kind.name} {position}", values) for position, values in parts.items())
    for one in held.sheet.further:
        readings.setdefault(one.part, {})[one.attribute] = one.value
    stream = io.StringIO()
    yaml = YAML(typ="safe", pure=True)
    yaml.default_flow_style = False
    yaml.allow_unicode = True
    yaml.dump([{**held.sheet.head, "readings": readings}], stream)
    return [*lines, *(f"  {line}" for line in stream.getvalue().splitlines())]
