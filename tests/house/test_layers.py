"""The domain and the services stand on the standard library alone.

The import contract in pyproject.toml names the frameworks they must not reach;
this test needs no such list: whatever is not Python's own is refused.
"""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import wholekit

PACKAGE = Path(wholekit.__file__).parent

# Parts of the standard library that would reach outside: files, the clock, the
# environment, other processes, the network.
OUTSIDE = {"os", "io", "pathlib", "shutil", "tempfile", "glob", "subprocess", "socket", "urllib"}
OUTSIDE |= {"time", "sqlite3", "http", "threading", "multiprocessing", "random", "secrets", "uuid"}


def imported_names(source: str) -> Iterator[tuple[int, str]]:
    """Each import of a module: its line and the full name of what it imports."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or "."


def strangers(source: str) -> list[str]:
    """The imports that a module of the domain or the services may not have."""
    return [
        f"line {line}: {name}"
        for line, name in imported_names(source)
        if (top := name.partition(".")[0]) != "wholekit"
        and (top not in sys.stdlib_module_names or top in OUTSIDE)
    ]


def calls_of(source: str, forbidden: set[str]) -> list[str]:
    """Calls such as `open(…)` or `date.today()` whose last name is forbidden."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            match node.func:
                case ast.Name(id=name) | ast.Attribute(attr=name) if name in forbidden:
                    found.append(f"line {node.lineno}: {name}()")
    return found


@pytest.mark.parametrize("layer", ["domain", "services"])
def test_a_layer_below_the_frameworks_imports_only_the_standard_library(layer):
    modules = sorted((PACKAGE / layer).rglob("*.py"))
    assert modules, f"no modules in {layer}"
    bad = {
        str(module.relative_to(PACKAGE)): found
        for module in modules
        if (found := strangers(module.read_text(encoding="utf-8")))
    }
    assert not bad


@pytest.mark.parametrize("layer", ["domain", "services"])
def test_a_layer_below_the_frameworks_opens_no_file_and_reads_no_clock(layer):
    forbidden = {"open", "today", "now", "utcnow", "getenv", "print", "input"}
    bad = {
        str(module.relative_to(PACKAGE)): found
        for module in sorted((PACKAGE / layer).rglob("*.py"))
        if (found := calls_of(module.read_text(encoding="utf-8"), forbidden))
    }
    assert not bad


def test_the_watch_over_imports_sees_a_framework_a_file_and_a_clock():
    assert strangers("import jinja2.ext") == ["line 1: jinja2.ext"]
    assert strangers("def f():\n    from pathlib import Path") == ["line 2: pathlib"]
    assert strangers("from . import neighbour") == ["line 1: ."]
    assert not strangers("import math\nfrom wholekit.domain import errors")
    assert calls_of("x = datetime.date.today()", {"today"}) == ["line 1: today()"]
