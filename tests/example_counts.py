"""How many examples Hypothesis tries under each profile; HYPOTHESIS_PROFILE names one."""

import os

PROFILES = {"usual": 25, "many": 1_000, "long": 10_000}
PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "usual")


def examples(usual: int) -> int:
    """For a test that tries another number than the rest: that number, as many times more in the longer profiles."""
    return usual * PROFILES[PROFILE] // PROFILES["usual"]
