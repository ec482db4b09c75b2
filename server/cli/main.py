"""The `tuckline` command: finds the module of a command and runs it, importing nothing else."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Command:
    """A command: one line for people, and the module whose `run(argv)` gives the exit status."""

    line: str
    module: str


COMMANDS = {
    "plan": Command("a plan for one dog: target, ration, cautions (JSON)", "server.cli.plan"),
    "review": Command("the weekly review of one dog's plan (JSON)", "server.cli.review"),
    "conditions": Command("the words for conditions and looks (JSON)", "server.cli.conditions"),
    "up": Command("start the server, the worker and the page", "server.cli.up"),
    "demo": Command("load the invented demo household and rescue", "server.cli.demo"),
    "manage": Command("run one of Django's own commands", "server.cli.manage"),
}


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command. Returns its exit status: 2 for a command that does not exist."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if not arguments or arguments[0] in ("-h", "--help", "help"):
        print(_help(), file=sys.stdout if arguments else sys.stderr)
        return 0 if arguments else 2
    name, rest = arguments[0], arguments[1:]
    if name not in COMMANDS:
        known = ", ".join(COMMANDS)
        print(f"tuckline: command: must be one of {known}, not {name!r}", file=sys.stderr)
        return 2
    try:
        status = importlib.import_module(COMMANDS[name].module).run(rest)
    except BrokenPipeError:
        # The reader of our output left (`| head`). Nothing is wrong; say nothing at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return int(status)


def _help() -> str:
    width = max(len(name) for name in COMMANDS)
    lines = [f"  {name:<{width}}  {command.line}" for name, command in COMMANDS.items()]
    return "\n".join(
        ["usage: tuckline COMMAND [...]", "", *lines, "", "tuckline COMMAND --help says more."]
    )


if __name__ == "__main__":
    sys.exit(main())
