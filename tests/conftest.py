"""What every test gets: reproducible random cases."""

import os

from hypothesis import settings

# The same cases on every run, so that a red test is red for everyone; a random
# search is `HYPOTHESIS_PROFILE=search ./do test`. Rendering and solving may be
# slow on a busy machine, so no case is timed.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", deadline=None, max_examples=2_000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))
