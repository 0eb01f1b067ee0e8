"""Runs the benchmarks of this folder, all or those named: python -m tests.bench [NAME]…

A name is a module without its `bench_`: `schedule` runs bench_schedule. Each has a main().
"""

import importlib
import sys
import time
from pathlib import Path


def names() -> list[str]:
    """Every benchmark of this folder."""
    return sorted(
        path.stem.removeprefix("bench_") for path in Path(__file__).parent.glob("bench_*.py")
    )


def main(wanted: list[str]) -> int:
    """Run the benchmarks named, or all; 2 if one is not there."""
    known = names()
    unknown = [name for name in wanted if name.removeprefix("bench_") not in known]
    if unknown:
        print(f"no benchmark {', '.join(unknown)}; there are {', '.join(known)}", file=sys.stderr)
        return 2
    for name in wanted or known:
        module = importlib.import_module(f"tests.bench.bench_{name.removeprefix('bench_')}")
        print(f"\n== {name}: {(module.__doc__ or '').partition(chr(10))[0]}", flush=True)
        start = time.perf_counter()
        # A benchmark reads the arguments after its own name; names of benchmarks are not its own.
        sys.argv = [str(module.__file__)]
        module.main()
        print(f"  ({time.perf_counter() - start:.1f} s)", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
