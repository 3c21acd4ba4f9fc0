"""The vocabulary is the only place for vocabulary: what the program itself knows of it stands in one module."""

import ast
from pathlib import Path

import carknocker
from carknocker.vocabulary import load_vocabulary, program_names

VOCABULARY = load_vocabulary()
ATTRIBUTES = {name for kind in VOCABULARY.kinds.values() for name in kind.attributes}
# Words of the trade that mean other things too, in a file, on a page or in a drawing.
COMMON = {"car", "move", "train", "leg", "end", "body"}
NAMES = (
    {*VOCABULARY.kinds, *(name for name in ATTRIBUTES if "_" in name)}
    | {
        name
        for names in (VOCABULARY.tests, VOCABULARY.papers, VOCABULARY.work, VOCABULARY.events, VOCABULARY.spares)
        for name in names
        if " " in name
    }
) - COMMON


def test_every_name_is_in_the_vocabulary() -> None:
    known = {name: value for name, value in vars(program_names).items() if name.isupper()}
    for name, value in known.items():
        for word in (value,) if isinstance(value, str) else value:
            assert word in VOCABULARY.kinds or word in ATTRIBUTES or word in VOCABULARY.papers, name


def test_no_other_module_knows_more_than_three_names() -> None:
    root = Path(carknocker.__file__).parent
    files = [one for one in root.rglob("*.py") if one.relative_to(root).parts[0] not in ("vocabulary", "workings")]
    assert len(files) > 100
    for file in files:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        words = {one.value for one in ast.walk(tree) if isinstance(one, ast.Constant) and isinstance(one.value, str)}
        assert len(words & NAMES) <= 3, (file.name, words & NAMES)
