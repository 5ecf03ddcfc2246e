"""Settings for all tests: Hypothesis without deadlines (machines differ), and the same examples on every CI run."""

import os

from hypothesis import HealthCheck, settings

settings.register_profile("bench", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", parent=settings.get_profile("bench"), derandomize=True, database=None)
settings.load_profile("ci" if os.environ.get("CI") else "bench")
