"""The vocabulary, as data: kinds of part, their attributes, names of tests, papers, work, events and spares."""

from carknocker.vocabulary.load import load_vocabulary, vocabulary_texts
from carknocker.vocabulary.model import (
    Access,
    Attribute,
    Kind,
    PaperKind,
    Positions,
    SpareKind,
    TestKind,
    ValueType,
    Vocabulary,
    WorkKind,
)  # fmt: skip

__all__ = [
    "Access", "Attribute", "Kind", "PaperKind", "Positions", "SpareKind", "TestKind", "ValueType", "Vocabulary",
    "WorkKind", "load_vocabulary", "vocabulary_texts",
]  # fmt: skip
