"""Groups of commands, the module of each imported when it is called."""

import gc
import importlib
from collections.abc import Mapping
from typing import Any, ClassVar

import typer
from typer.core import TyperGroup

from wholekit.cli.plain_values import take_plainly


class LateGroup(TyperGroup):
    """A group that knows its commands by name and loads none before it is called."""

    # The module of `wholekit.cli` that registers each command, in the order of the help.
    modules: ClassVar[Mapping[str, str]] = {}

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ANN401, ARG002  # the framework's
        """The names, in the order of the help."""
        return list(self.modules)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ANN401, ARG002  # the framework's
        """The command of a name, its module imported; None where there is none."""
        # Each alone: most of the time of a short command would else go into the modules of all
        # others. All where it is none of them, so that the framework can say which is nearest.
        for name in [cmd_name] if cmd_name in self.modules else self.modules:
            if name not in self.commands:
                self.commands.update(commands_of(self.modules[name]))
        command = self.commands.get(cmd_name)
        if not isinstance(command, LateGroup):
            # What was loaded stays for the whole run (the start keeps the collector at rest).
            gc.freeze()
            gc.enable()
        return command


def commands_of(module: str) -> Mapping[str, Any]:
    """The commands that a module of `wholekit.cli` registers, by name."""
    alone = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
    importlib.import_module(f"wholekit.cli.{module}").register(alone)
    commands: Mapping[str, Any] = typer.main.get_group(alone).commands
    for command in commands.values():
        take_plainly(command)
    return commands
