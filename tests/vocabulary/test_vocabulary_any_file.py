"""Whatever a vocabulary file holds, the answer is a vocabulary or problems with their places."""

from hypothesis import given
from hypothesis import strategies as st
from yaml_texts import yaml_of

from carknocker.documents import InputRefused
from carknocker.vocabulary import Vocabulary
from carknocker.vocabulary.reader import read_vocabulary

WORDS = st.sampled_from(
    ["car", "wheel", "is", "one_of", "length", "list of", "test", "yes", "", "1/16 in", "car.age", "owner or shop"]
)
KEYS = st.sampled_from(
    ["car", "wheel", "set-out", "is", "one_of", "label", "derived", "signed", "gauge_takes", "reads_to", "access",
     "read_by",
     "section", "positions", "inside", "thing", "listed", "usually", "descriptions", "attributes", "attribute", "on",
     "facts", "fits", "does", "stage", "truck_out", "hazards", "tag_group", "whole_car", "goes_with", "only_where"]
)  # fmt: skip
SECTIONS = st.sampled_from(
    ["kinds", "further_attributes", "tests", "papers", "work", "events", "spares", "roles", "sheets", "unknown"]
)
VALUES = st.recursive(
    WORDS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=5), max_leaves=12
)


@given(st.dictionaries(SECTIONS, VALUES, max_size=5))
def test_any_file_is_a_vocabulary_or_problems(document: dict[str, object]) -> None:
    found: Vocabulary | InputRefused
    try:
        found = read_vocabulary({"any.yaml": yaml_of(document)})
    except InputRefused as refused:
        found = refused
    if isinstance(found, InputRefused):
        assert found.problems
        assert all(problem.where.file == "any.yaml" and problem.found for problem in found.problems)
