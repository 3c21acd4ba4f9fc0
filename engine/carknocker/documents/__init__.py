"""YAML documents read safely, with the place of every value, and the problems found in them."""

from carknocker.documents.document_reader import load_document, load_text, read_document, read_within
from carknocker.documents.node import Location, Node
from carknocker.documents.problems import InputRefused, Problem, ProblemList, ProblemReporter, show_problems
from carknocker.documents.suggestions import listed, nearest, one_of, some

__all__ = [
    "InputRefused", "Location", "Node", "Problem", "ProblemList", "ProblemReporter", "listed", "load_document",
    "load_text", "nearest", "one_of", "read_document", "read_within", "show_problems", "some",
]  # fmt: skip
