"""The command line: one file for each command, imported when it is called."""

from __future__ import annotations

import importlib

import click

_COMMANDS = {
    "backup": "Copy the data of the service while it runs.",
    "check": "Say what is wrong or doubtful in a job file, cell by cell.",
    "keys": "Make, list and revoke API keys.",
    "plan": "Plan a job file and write the cut plan and purchase list into a folder.",
    "serve": "Run the HTTP service.",
    "settings": "Show the service's settings in effect.",
    "template": "Write an empty job workbook to fill in.",
}


class _LateGroup(click.Group):
    """A group that imports a command's module when the command is called or asked for help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command = getattr(importlib.import_module(f"service.cli.{cmd_name}"), cmd_name)
        assert isinstance(command, click.Command)  # noqa: S101 - a defect of this package otherwise
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(sorted(_COMMANDS.items()))


@click.group(cls=_LateGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="screenbatch")
def screenbatch() -> None:
    """Plan insect screens: from a spreadsheet of openings to a checked cut plan and purchase list.

    Exit codes: 0 fine, 1 the job cannot be planned as it stands, 2 wrong usage.
    """
