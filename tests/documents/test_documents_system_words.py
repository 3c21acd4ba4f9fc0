"""Why the system refuses a file is said in plain words."""

import errno

import pytest

from carknocker.documents.system_words import system_words


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.ENOENT, "there is no such file or folder"), (errno.EACCES, "permission denied"),
        (errno.ENOSPC, "no space is left on the disk"), (errno.EIO, "input/output error"),
        (None, "the system does not say why"),
    ],
)  # fmt: skip
def test_an_error_of_the_system(number, said):
    error = OSError() if number is None else OSError(number, "Input/output error")
    assert system_words(error) == said


def test_any_other_error_says_its_own():
    assert system_words(ValueError("embedded null byte")) == "embedded null byte"
