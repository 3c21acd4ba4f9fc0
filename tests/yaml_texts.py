"""YAML for tests that rewrite a file: every scalar is the text that stands there. libyaml does it where it is there."""

from typing import Any

import yaml

_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def texts_of(content: str) -> Any:
    return yaml.load(content, Loader=_LOADER)


def yaml_of(value: Any, *, quoted: bool = False) -> str:
    """quoted: every text in quotes, each value in one line."""
    style = {"default_style": "'", "width": 1_000_000} if quoted else {}
    return str(yaml.dump(value, Dumper=_DUMPER, sort_keys=False, allow_unicode=True, **style))
