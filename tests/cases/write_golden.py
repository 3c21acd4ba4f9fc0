"""Writes the golden pages anew: `python tests/cases/write_golden.py`. Read the difference before it is committed."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from case_list import GOLDEN, golden, names
from pages import appendix, markdown, text


def main() -> None:
    GOLDEN.mkdir(exist_ok=True)
    for name in names():
        golden(name, "txt").write_text(text(name), encoding="utf-8")
        golden(name, "md").write_text(markdown(name), encoding="utf-8")
        golden(name, "appendix.md").write_text(appendix(name), encoding="utf-8")


if __name__ == "__main__":
    main()
