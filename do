#!/bin/sh
# The one way in: sets the project up and runs it, its tests and its checks.
# POSIX sh; asks nothing; ./do help tells the rest.
set -eu

# The environment is made in .venv beside this script, from .requirements.lock.
root=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
venv=$root/.venv
lock=$root/.requirements.lock
pango_packages='libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0'

usage() {
    cat <<'TEXT'
Usage: ./do COMMAND [ARGS]

  setup            make .venv with the pinned dependencies; instant when it is up to date
  demo [ARGS]      wholekit demo: sample kits, papers and a quoted job with its margin sheet in demo-out/
  test [ARGS]      the tests and the examples in docstrings; ARGS go to pytest
  test-browser     the screens in a real browser (Chromium, installed where this may), with each
                   person's day as one story and the accessibility checks; ARGS go to pytest
  check            all of it: format, lint, types, layers, generated references, tests
  bench [ARGS]     the benchmarks under tests/bench (minutes; not part of check)
  lock [--upgrade] write .requirements.lock anew from pyproject.toml
  help             this text

Every command runs setup first. Status 2: this machine lacks something, and the
message gives the one command that mends it.
TEXT
}

say() { printf 'do: %s\n' "$*" >&2; }

# Something is missing on this machine: say what, and the one command that mends it.
lacking() {
    say "$1"
    [ $# -lt 2 ] || printf '\n    %s\n\n' "$2" >&2
    exit 2
}

as_root_may_install() { [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; }

apt_install() {
    say "installing $* with apt-get"
    apt-get update -qq >/dev/null 2>&1 || true # a stale list may still do
    report=$(DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" \
        </dev/null 2>&1) || { printf '%s\n' "$report" >&2; return 1; }
}

# Sets $python. A command that exists may still not run (a version manager's
# stand-in), so each candidate is asked for its version.
find_python() {
    for python in python3.13 python3.12 python3.11 python3; do
        if "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
            return
        fi
    done
    lacking 'no Python 3.11 or newer found (looked for python3.13, python3.12, python3.11, python3). Install one; on Debian 12 or Ubuntu 24.04 and newer:' \
        'sudo apt-get install -y python3 python3-venv'
}

# Debian keeps ensurepip, which venv needs, in a package of its own.
venv_works() { "$python" -c 'import ensurepip, venv' >/dev/null 2>&1; }

# The libraries that WeasyPrint loads to lay out text in PDFs.
pango_loads() {
    "$python" - <<'CODE' >/dev/null 2>&1
import ctypes, ctypes.util, sys
for name in ("pango-1.0", "pangoft2-1.0", "harfbuzz", "harfbuzz-subset", "fontconfig"):
    for file in (f"lib{name}.so.0", f"lib{name}.so.1", f"lib{name}.0.dylib", f"lib{name}.1.dylib"):
        try:
            ctypes.CDLL(file)
            break
        except OSError:
            continue
    else:
        if not ctypes.util.find_library(name):
            sys.exit(1)
CODE
}

# Sets $packages (Debian's names) and $what for all that is missing at once.
find_missing() {
    packages='' what=''
    if ! venv_works; then
        packages=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
        what="$python cannot make a virtual environment (no ensurepip). "
    fi
    if ! pango_loads; then
        packages="${packages:+$packages }$pango_packages"
        what="${what}The Pango libraries, which lay out the PDFs, are missing. "
    fi
    [ -n "$packages" ]
}

see_to_system() {
    find_missing || return 0
    # shellcheck disable=SC2086 # a list of package names
    if as_root_may_install && apt_install $packages; then
        find_missing || return 0
    fi
    if command -v apt-get >/dev/null 2>&1; then
        lacking "${what}Install:" "sudo apt-get install -y $packages"
    fi
    lacking "${what}Install what these Debian packages hold with the package manager of this system (Fedora and Homebrew: pango), then run this again: $packages"
}

# Sets $CHROMIUM, which the tests start.
see_to_browser() {
    for CHROMIUM in chromium chromium-browser; do
        if command -v "$CHROMIUM" >/dev/null 2>&1; then
            CHROMIUM=$(command -v "$CHROMIUM")
            export CHROMIUM
            return
        fi
    done
    if as_root_may_install && apt_install chromium; then
        see_to_browser
        return
    fi
    lacking 'No Chromium found, in which the screens are tested. Install it:' \
        'sudo apt-get install -y chromium'
}

# What the environment was made from: it is stale when one of these changed.
dependencies_stamp() { printf '%s %s\n' "$root" "$(cksum <"$lock")"; }
project_stamp() { cksum <"$root/pyproject.toml"; }

is_current() { [ -x "$venv/bin/python" ] && [ "$(cat "$venv/$1" 2>/dev/null)" = "$2" ]; }
all_current() {
    is_current .stamp-dependencies "$(dependencies_stamp)" && is_current .stamp-project "$(project_stamp)"
}

setup() {
    all_current && return
    find_python
    see_to_system
    # The lock is on an open file that the next process inherits: one set-up at
    # a time, and nothing stale is left behind however a run ends.
    "$python" -c '
import fcntl, os, sys
lock = os.open(sys.argv[1], os.O_RDWR | os.O_CREAT, 0o644)
try:
    fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
except BlockingIOError:
    print("do: waiting for another set-up to end", file=sys.stderr)
    fcntl.flock(lock, fcntl.LOCK_EX)
os.set_inheritable(lock, True)
os.execv("/bin/sh", ["sh", *sys.argv[2:]])
' "$root/.setup-lock" "$root/do" _setup_alone "$python"
}

setup_alone() {
    export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_INPUT=1
    stamp=$(dependencies_stamp)
    if ! is_current .stamp-dependencies "$stamp"; then
        say "making .venv with $("$python" -V)"
        rm -rf "$venv"
        "$python" -m venv "$venv"
        say 'installing the pinned packages (a minute or so)'
        "$venv/bin/python" -m pip install -qq --no-deps --only-binary :all: --require-hashes -r "$lock" \
            || lacking 'the dependencies could not be installed (see above); run this again when that is mended.'
        "$venv/bin/python" -c 'import weasyprint' \
            || lacking 'WeasyPrint does not load (see above).' "sudo apt-get install -y $pango_packages"
        printf '%s\n' "$stamp" >"$venv/.stamp-dependencies"
    fi
    stamp=$(project_stamp)
    if ! is_current .stamp-project "$stamp"; then
        "$venv/bin/python" -m pip install -qq --no-deps --no-build-isolation --no-index --force-reinstall -e "$root" \
            || lacking 'the project itself could not be installed (see above).'
        "$venv/bin/python" -m compileall -q "$root/src" || true # the tests tell of a syntax error better
        printf '%s\n' "$stamp" >"$venv/.stamp-project"
    fi
    say 'ready'
}

demo() {
    for argument in "$@"; do
        case $argument in --out | --out=* | --help) exec "$venv/bin/wholekit" demo "$@" ;; esac
    done
    exec "$venv/bin/wholekit" demo --out demo-out "$@"
}

# Runs one step of the check; goes on after a failure, which is told at the end.
failed=''
step() {
    name=$1
    shift
    printf '\n== %s\n' "$name"
    "$@" || failed="$failed
  $name"
}

check() {
    cd "$root"
    PATH=$venv/bin:$PATH
    step 'format (ruff format)' ruff format --check
    step 'lint (ruff check)' ruff check
    step 'types (mypy)' mypy
    step 'layers (lint-imports)' lint-imports
    if [ -e src/wholekit/cli/reference.py ] || [ -e src/wholekit/cli/reference/__main__.py ]; then
        step 'generated references are fresh' python -m wholekit.cli.reference --check
    fi
    step 'tests (pytest)' python -m pytest -n auto
    if [ -n "$failed" ]; then
        printf '\nFAILED:%s\n' "$failed"
        exit 1
    fi
    printf '\nEvery check passed.\n'
}

# Written by uv from an environment thrown away after; hashes of every wheel of
# each version, so that the lock holds on each platform; no index is named.
renew_lock() {
    find_python
    see_to_system
    scratch=$(mktemp -d)
    trap 'rm -rf "$scratch"' EXIT
    trap 'exit 130' INT TERM
    "$python" -m venv "$scratch/venv"
    "$scratch/venv/bin/python" -m pip install -qq uv
    cp "$lock" "$scratch/lock" 2>/dev/null || true # the versions to keep, unless --upgrade
    cd "$root"
    "$scratch/venv/bin/uv" pip compile pyproject.toml --group dev -o "$scratch/lock" -q \
        --universal --python-version 3.11 --generate-hashes --no-annotate --no-header --no-emit-index-url "$@"
    if grep -n '://' "$scratch/lock"; then
        say 'the new lock names an address (above); kept the old one'
        exit 1
    fi
    cp "$scratch/lock" "$lock"
    say 'wrote .requirements.lock; ./do setup installs it'
}

command=${1:-help}
[ $# -eq 0 ] || shift
case $command in
    setup) setup ;;
    demo)
        setup
        demo "$@"
        ;;
    test)
        setup
        cd "$root"
        [ $# -gt 0 ] || set -- -n auto # workers cost 3 s to start: worth it for all, not for a few
        exec "$venv/bin/python" -m pytest "$@"
        ;;
    test-browser)
        setup
        see_to_browser
        cd "$root"
        exec "$venv/bin/python" -m pytest tests/browser "$@"
        ;;
    check)
        setup
        check
        ;;
    bench)
        setup
        cd "$root"
        exec "$venv/bin/python" -m tests.bench "$@"
        ;;
    lock) renew_lock "$@" ;;
    _setup_alone)
        python=$1
        setup_alone
        ;;
    help | -h | --help) usage ;;
    *)
        say "unknown command '$command'"
        usage >&2
        exit 2
        ;;
esac
