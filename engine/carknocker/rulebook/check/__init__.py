"""Static checks of editions and rulebooks: what can be told wrong without judging a car."""

from carknocker.rulebook.check.edition import check_edition
from carknocker.rulebook.check.library import check_library
from carknocker.rulebook.check.rulebook import check_rulebook

__all__ = ["check_edition", "check_library", "check_rulebook"]
