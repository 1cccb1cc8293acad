"""The command line: one file for each command, imported when it is called."""

from __future__ import annotations

import importlib

import click

_COMMANDS = {
    "backup": "Copy the data of the service while it runs.",
    "cutting-order": "Cut a plan order by order, those due first, with few orders open at once.",
    "check": "Say what is wrong or doubtful in a job file, cell by cell.",
    "estimate": "Give a budget with a range from rough sizes, before anybody has measured.",
    "keys": "Make, list and revoke API keys.",
    "lost-label": "Find the rail whose label is lost by its measured length.",
    "phases": "Plan phase by phase beside one joint plan, with the price of the difference.",
    "plan": "Plan a job file and write the cut plan and purchase list into a folder.",
    "rack": "Keep leftovers: list, add, measure, reserve, release, scrap.",
    "replan": "Plan again after cuts, miscuts, damage or changes: what is cut stays.",
    "serve": "Run the HTTP service.",
    "shares": "Share the cost of a plan out to its orders, to the cent.",
    "settings": "Show the service's settings in effect.",
    "substitute": "Say which openings some stock hits when it is out, and what stands in for it.",
    "template": "Write an empty job workbook to fill in.",
    "what-if": "Compare plans over a few choices side by side, with money and waste.",
}

_HELP = {"-h", "--help"}
_READING = {"check", "estimate", "phases", "plan", "substitute", "what-if"}
"""Commands that read a job file."""


class _LateGroup(click.Group):
    """A group that imports a command's module when the command is called or asked for help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        word = cmd_name.replace("-", "_")
        command = getattr(importlib.import_module(f"service.cli.{word}"), word)
        assert isinstance(command, click.Command)  # noqa: S101 - a defect of this package otherwise
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] in _READING and not ctx.resilient_parsing and not _HELP.intersection(args):
            from service.cli.reading import warm_up

            warm_up()
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(sorted(_COMMANDS.items()))


@click.group(cls=_LateGroup, context_settings={"help_option_names": sorted(_HELP)})
@click.version_option(package_name="screenbatch")
def screenbatch() -> None:
    """Plan insect screens: from a spreadsheet of openings to a checked cut plan and purchase list.

    Exit codes: 0 fine, 1 the job cannot be planned as it stands, 2 wrong usage.
    """
