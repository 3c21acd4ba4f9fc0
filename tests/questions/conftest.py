"""One library of the sample editions for all tests of the questions."""

from pathlib import Path

import pytest
from question_samples import library_in

from carknocker.rulebook import Library


@pytest.fixture(scope="session")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder: Path = tmp_path_factory.mktemp("rulesets")
    return library_in(folder)
