"""Runs the benchmarks of this folder, all or those named: python -m tests.bench [NAME [ARG]…]…

A name is a module without its `bench_`: `schedule` runs bench_schedule. Each has a main(), which
reads what follows its name: an option with what it is given, or a number.
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
    runs: list[tuple[str, list[str]]] = [] if wanted else [(name, []) for name in known]
    for word in wanted:
        name = word.removeprefix("bench_")
        given = runs[-1][1] if runs else []
        after_option = bool(given) and given[-1].startswith("-")
        if name in known:
            runs.append((name, []))
        elif runs and (after_option or word.startswith("-") or word[0].isdigit()):
            given.append(word)
        else:
            print(f"no benchmark {word}; there are {', '.join(known)}", file=sys.stderr)
            return 2
    for name, given in runs:
        module = importlib.import_module(f"tests.bench.bench_{name}")
        print(f"\n== {name}: {(module.__doc__ or '').partition(chr(10))[0]}", flush=True)
        start = time.perf_counter()
        sys.argv = [str(module.__file__), *given]
        module.main()
        print(f"  ({time.perf_counter() - start:.1f} s)", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
