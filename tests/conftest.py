"""What every test gets: reproducible random cases, a home without a store, and no old caches."""

import atexit
import gc
import os
import shutil
import tempfile

from hypothesis import settings

# The same cases on every run, so that a red test is red for everyone; a random
# search is `HYPOTHESIS_PROFILE=search ./do test`. Rendering and solving may be
# slow on a busy machine, so no case is timed.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", deadline=None, max_examples=2_000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

# What a command loads it puts beyond the collector, since its process ends with it. Of hundreds of
# commands in one process all would stay, and each puts off the next full collection besides: a
# run of the tests grew by gigabytes.
setattr(gc, "freeze", lambda: None)  # noqa: B010  # its type knows no other
# Most of what tests make is no rubbish: it is looked for less often than usual.
gc.set_threshold(5_000, 10, 10)

# No test may meet the store of whoever runs it: a call in a process of its own
# would read it, ask its people, or refuse for its version.
for _name in [name for name in os.environ if name.startswith("WHOLEKIT_")]:
    del os.environ[_name]
_home = tempfile.mkdtemp(prefix="wholekit-tests-")
os.environ["WHOLEKIT_HOME"] = _home
os.environ["XDG_CACHE_HOME"] = _home
atexit.register(shutil.rmtree, _home, ignore_errors=True)
