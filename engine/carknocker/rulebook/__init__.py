"""Editions of rules: read, checked against the vocabulary, amended, layered, and chosen for a move."""

from carknocker.rulebook.choice import RulebookChoice
from carknocker.rulebook.edition_head import EditionHead
from carknocker.rulebook.library import Library, load_library, rulesets_folders

__all__ = ["EditionHead", "Library", "RulebookChoice", "load_library", "rulesets_folders"]
