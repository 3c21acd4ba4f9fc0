"""Every derived attribute of the vocabulary has its working, and no working is without an attribute."""

from carknocker.vocabulary import load_vocabulary
from carknocker.workings import WORKINGS


def test_workings_are_exactly_those_that_the_vocabulary_names() -> None:
    named = {
        attribute.derived
        for kind in load_vocabulary().kinds.values()
        for attribute in kind.attributes.values()
        if attribute.derived
    }
    assert set(WORKINGS) == named


def test_each_working_is_where_the_registry_says_and_tells_what_it_is() -> None:
    for name, working in WORKINGS.items():
        assert callable(working), name
        assert (working.__doc__ or "").strip(), name
