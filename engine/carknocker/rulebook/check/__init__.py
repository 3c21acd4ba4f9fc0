"""Static checks of editions and rulebooks: what can be told wrong without judging a car."""

from carknocker.rulebook.check.library import check_edition, check_library, check_rulebook

__all__ = ["check_edition", "check_library", "check_rulebook"]
