"""Shared settings of the tests: a cache folder of their own; hypothesis profiles, of which HYPOTHESIS_PROFILE names one
(`usual`, `many` or `long`)."""

import atexit
import os
import shutil
import tempfile

from hypothesis import HealthCheck, settings

_CALM = [HealthCheck.too_slow, HealthCheck.data_too_large]
settings.register_profile("usual", max_examples=60, deadline=None, derandomize=True, suppress_health_check=_CALM)
settings.register_profile("many", max_examples=1_000, deadline=None, suppress_health_check=_CALM)
settings.register_profile("long", max_examples=10_000, deadline=None, suppress_health_check=_CALM)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))

if "PYTEST_XDIST_WORKER" not in os.environ:  # the workers of xdist share the folder of the process that starts them
    os.environ["XDG_CACHE_HOME"] = tempfile.mkdtemp(prefix="carknocker-tests-")
    atexit.register(shutil.rmtree, os.environ["XDG_CACHE_HOME"], ignore_errors=True)
