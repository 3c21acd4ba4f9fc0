"""The folder of the cache on each kind of machine."""

from pathlib import Path

import pytest

from carknocker.cli.inputs import cache_dir

HOME = Path("/home/nell")


@pytest.mark.parametrize(
    ("environment", "platform", "folder"),
    [
        # XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, by default $HOME/.cache; a relative path is invalid
        ({}, "linux", "/home/nell/.cache/carknocker"),
        ({"XDG_CACHE_HOME": "/var/kept"}, "linux", "/var/kept/carknocker"),
        ({"XDG_CACHE_HOME": "kept"}, "linux", "/home/nell/.cache/carknocker"),
        ({"XDG_CACHE_HOME": ""}, "freebsd14", "/home/nell/.cache/carknocker"),
        ({"XDG_CACHE_HOME": "/var/kept"}, "darwin", "/home/nell/Library/Caches/carknocker"),
        ({"LOCALAPPDATA": "/local"}, "win32", "/local/carknocker/Cache"),
        ({}, "win32", "/home/nell/AppData/Local/carknocker/Cache"),
    ],
)
def test_the_folder_of_each_machine(environment: dict[str, str], platform: str, folder: str) -> None:
    assert cache_dir(environment, platform, HOME) == Path(folder)
