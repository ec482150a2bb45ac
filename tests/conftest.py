"""
How the property tests run: no deadline, since a busy machine is no fault of the code.

In CI the examples are the same in every run, so that a red run can be repeated.
"""

import os

from hypothesis import settings

settings.register_profile("speccomp", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("speccomp")
