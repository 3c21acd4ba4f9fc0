"""YAML documents read safely, with the place of every value, and the problems found in them."""

from carknocker.documents.files import load_document, load_text, read_within
from carknocker.documents.location import Location
from carknocker.documents.nearest import nearest
from carknocker.documents.node import Node
from carknocker.documents.notebook import Notebook
from carknocker.documents.problems import InputRefused, Problem, ProblemList
from carknocker.documents.reading import read_document
from carknocker.documents.show import show_problems
from carknocker.documents.words import one_of, some

__all__ = [
    "InputRefused", "Location", "Node", "Notebook", "Problem", "ProblemList", "load_document", "load_text", "nearest",
    "one_of", "read_document", "read_within", "show_problems", "some",
]  # fmt: skip
