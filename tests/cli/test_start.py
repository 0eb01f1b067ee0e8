"""How a command starts: it imports what it needs, and reads the values of its call as ever."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import typer
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.command import done
from typer._click.exceptions import BadParameter

from wholekit.cli.app import MODULES, app
from wholekit.cli.groups import GROUPS
from wholekit.cli.late import commands_of
from wholekit.cli.plain_values import plainly

# Where a plain reading and the framework's could part: signs, blanks, other digits, limits.
EDGES = (
    "", " ", "0", "1", "7", "007", "8", "-3", "+4", "12 ", " 12", "1_0", "3.0", "1e3", "٣", "²",
    "365", "366", "1000", "1001", "3650", "1000000", "1000001", "123456789", "99999999999999999999",
    ".", "a//b/../c", "a\x00b", "true", "OWNER", "owner", "counter ", "Pull", "pull",
)  # fmt: skip


def _parameters(command, context) -> Iterator[typer.core.TyperOption]:
    """Every option and argument of a command and of those below it."""
    if hasattr(command, "list_commands"):
        for name in command.list_commands(context):
            yield from _parameters(command.get_command(context, name), context)
    for parameter in command.params:
        if hasattr(parameter, "type_descriptor"):
            yield parameter


def _kinds():
    """One parameter of every kind there is: type, how many values, least and most."""
    root = typer.main.get_command(app)
    found = {}
    for parameter in _parameters(root, typer.Context(root, info_name="wholekit")):
        described = parameter.type_descriptor
        info = described.parameter_info
        several = parameter.multiple or parameter.nargs == -1
        found[str(described.annotation), several, info.min, info.max] = parameter
    return found


KINDS = _kinds()


def _read(reading, value, parameter):
    """What comes of a value: itself and its type, or the sentence that refuses it."""
    try:
        got = reading.coerce(value, param=parameter, ctx=None)
    except BadParameter as refusal:
        return "refused", refusal.format_message()
    return type(got), got, [type(each) for each in got] if isinstance(got, list) else []


def _assert_alike(parameter, values):
    parameter._runtime_param = None  # the framework's own, built anew
    framework = parameter.get_runtime_param()
    for value in values:
        parameter._runtime_param = None
        (plain,) = plainly([parameter])
        assert _read(plain.get_runtime_param(), value, parameter) == _read(
            framework, value, parameter
        ), value


def _given(parameter, texts):
    """The values as the framework's parser hands them on: one text, or several together."""
    if parameter.multiple or parameter.nargs == -1:
        return [None, [], tuple(texts), list(texts), *([text] for text in texts)]
    return [None, *texts]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: f"{kind[0]} {kind[2:]}")
def test_every_kind_of_option_reads_edges_as_the_framework_would(kind):
    parameter = KINDS[kind]
    of_its_own = parameter.type_descriptor.choices or ()
    texts = [*EDGES, *(choice.value for choice in of_its_own)]
    values = _given(parameter, texts)
    if parameter.default is not None and not callable(parameter.default):
        values.append(parameter.default)
    _assert_alike(parameter, values)


@settings(max_examples=25)
@given(texts=st.lists(st.text(max_size=12), max_size=4))
def test_any_text_is_read_as_the_framework_would(texts):
    for parameter in KINDS.values():
        _assert_alike(parameter, _given(parameter, texts))


def test_a_number_that_is_plain_is_read_without_the_framework():
    parameter = KINDS["<class 'int'>", False, 1, 1000]
    (plain,) = plainly([parameter])
    reading = plain.get_runtime_param()
    assert reading.coerce("12", param=parameter, ctx=None) == 12
    assert parameter._runtime_param is reading
    with pytest.raises(BadParameter):
        reading.coerce("1001", param=parameter, ctx=None)


def test_every_command_of_a_group_is_in_its_table_under_the_module_that_has_it():
    for group, _ in GROUPS.values():
        for module in set(group.modules.values()):
            listed = {name for name, where in group.modules.items() if where == module}
            assert set(commands_of(module)) == listed
    for module in set(MODULES.values()):
        listed = {name for name, where in MODULES.items() if where == module}
        assert set(commands_of(module)) == listed


@pytest.mark.parametrize("command", ["job list", "catalog list"])
def test_a_list_over_the_store_imports_neither_migrations_nor_papers(
    command, tmp_path: Path, monkeypatch
):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    done("house", "person", "odo", "--role", "owner", "--by", "odo")
    code = (
        "import sys\n"
        f"sys.argv = ['wholekit', *{command.split()!r}, '--by', 'odo']\n"
        "from wholekit.cli.app import main\n"
        "try: main()\n"
        "except SystemExit as end: assert not end.code\n"
        "heavy = {'alembic', 'psycopg', 'jinja2', 'babel', 'weasyprint', 'wholekit.cli.job_edit',"
        " 'wholekit.documents.render'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.splitlines()[-1] == "[]"
