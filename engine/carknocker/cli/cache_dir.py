"""The folder of the cache of parsed files."""

from collections.abc import Mapping
from pathlib import Path


def cache_dir(environment: Mapping[str, str], platform: str, home: Path) -> Path:
    """The user's folder for what may be thrown away: `XDG_CACHE_HOME` or `~/.cache` (XDG Base Directory Specification
    0.8), `~/Library/Caches` on macOS, the local application data on Windows. platform: as `sys.platform` says it.

    Written out here, since the library for it costs as much of the start-up as reading all rulesets.
    """
    if platform == "win32":
        return _absolute(environment.get("LOCALAPPDATA"), home / "AppData" / "Local") / "carknocker" / "Cache"
    if platform == "darwin":
        return home / "Library" / "Caches" / "carknocker"
    return _absolute(environment.get("XDG_CACHE_HOME"), home / ".cache") / "carknocker"


def _absolute(named: str | None, otherwise: Path) -> Path:
    """A relative path in the environment is to be ignored, says the specification."""
    return Path(named) if named and Path(named).is_absolute() else otherwise
