"""The page of the command line, from the program's own commands: what `--help` says, every command on one page."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer

from tenter.cli.main import app

_INTRODUCTION = """# Command line

Every command of the program `tenter`, with what `tenter COMMAND --help` says of it. This page is made from the program
itself when the site is built.
"""


def write_commands(page: Path) -> None:
    """Write the page."""
    command = typer.main.get_command(app)
    context = typer.Context(command, info_name="tenter")
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text("\n".join([_INTRODUCTION, *_sections(context)]), encoding="utf-8")


def _sections(context: Any) -> Iterator[str]:
    """Yield a command and those under it, each under a heading of its own."""
    command = context.command
    words = context.command_path.split()
    if len(words) > 1:
        yield f"{'#' * len(words)} {context.command_path}\n"
    yield _help(command.help or "")
    inner = getattr(command, "commands", {})
    if not inner or len(words) == 1 or command.invoke_without_command:
        yield _options(context)
    for word in sorted(inner):
        if not inner[word].hidden:
            yield from _sections(typer.Context(inner[word], info_name=word, parent=context))


def _help(text: str) -> str:
    """Return the paragraphs of a help text, in which words on a terminal may stand between asterisks."""
    return "\n\n".join(" ".join(part.split()) for part in text.split("\n\n")).replace("*", "\\*") + "\n"


def _options(context: Any) -> str:
    """Return the usage of a command, and its arguments and options as a table."""
    usage = " ".join([context.command_path, *context.command.collect_usage_pieces(context)])
    records = [p.get_help_record(context) for p in context.command.params if p.name != "help"]
    rows = [f"| `{_cell(said[0])}` | {_cell(said[1])} |" for said in records if said]
    table = ["", "| argument or option | what it does |", "| --- | --- |", *rows, ""] if rows else []
    return "\n".join(["```text", usage, "```", *table, ""])


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|").replace("*", "\\*")
