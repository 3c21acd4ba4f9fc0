"""Shared settings of the tests: a cache folder of their own, the profiles of Hypothesis, rare collection of garbage."""

import atexit
import gc
import os
import shutil
import tempfile

from example_counts import PROFILE, PROFILES
from hypothesis import HealthCheck, settings

for name, count in PROFILES.items():
    settings.register_profile(
        name, max_examples=count, deadline=None, derandomize=name == "usual",
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )  # fmt: skip
settings.load_profile(PROFILE)

if "PYTEST_XDIST_WORKER" not in os.environ:  # the workers of xdist share the folder of the process that starts them
    os.environ["XDG_CACHE_HOME"] = tempfile.mkdtemp(prefix="carknocker-tests-")
    atexit.register(shutil.rmtree, os.environ["XDG_CACHE_HOME"], ignore_errors=True)


def pytest_collection_finish() -> None:
    """Thousands of tests and all modules stay to the end: garbage is not looked for among them each time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
