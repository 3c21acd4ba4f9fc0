"""The vocabulary, as data: kinds of part, their attributes, names of tests, papers, work, events and spares."""

from carknocker.vocabulary.load import does_of, load_vocabulary, sheet_lines, vocabulary_texts, work_to
from carknocker.vocabulary.model import (
    Access,
    Attribute,
    Does,
    Hazard,
    Kind,
    PaperKind,
    Positions,
    SheetLine,
    SheetName,
    SpareKind,
    Stage,
    TagGroup,
    TestKind,
    ValueType,
    Vocabulary,
    WorkKind,
)  # fmt: skip

__all__ = [
    "Access", "Attribute", "Does", "Hazard", "Kind", "PaperKind", "Positions", "SheetLine", "SheetName", "SpareKind",
    "Stage", "TagGroup", "TestKind", "ValueType", "Vocabulary", "WorkKind", "does_of", "load_vocabulary", "sheet_lines",
    "vocabulary_texts", "work_to",
]  # fmt: skip
