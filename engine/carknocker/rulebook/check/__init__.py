"""Static checks of editions and rulebooks: faults that can be found without judging a car."""

from carknocker.rulebook.check.library import check_edition, check_library, check_rulebook

__all__ = ["check_edition", "check_library", "check_rulebook"]
