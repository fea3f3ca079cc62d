"""How hard the property tests try: the same examples every time, or with HYPOTHESIS_PROFILE=deep many new ones."""

import os

from hypothesis import HealthCheck, settings

QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much]
settings.register_profile("steady", max_examples=25, derandomize=True, database=None, deadline=None, suppress_health_check=QUIET)
settings.register_profile("deep", max_examples=1500, database=None, deadline=None, suppress_health_check=QUIET)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
