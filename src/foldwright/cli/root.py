"""The command itself, what all of its commands share, and how it refuses."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from foldwright.errors import (
    DoubtfulReading,
    Fault,
    FoldwrightError,
    ImportFaults,
    PlanFaults,
    own_mistake,
)

if TYPE_CHECKING:
    from foldwright.make import Made

DIR = click.argument("build", type=click.Path(path_type=Path), metavar="DIR")
JSON = click.option("--json", "as_json", is_flag=True, help="Report as JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="foldwright")
def cli() -> None:
    """Patterns for sheet shells, and what to change once the made parts are measured.

    A build is a folder with a plan in it (plan.toml). Begin with `start`, then
    `make` draws what to cut; `measure` what came out, and `refit` says what
    to change in the parts not made yet.
    """


def main() -> None:
    """Run the command line; every refusal is words and exit code 2."""
    as_json = "--json" in sys.argv
    try:
        result = cli.main(standalone_mode=False)
        sys.exit(result if isinstance(result, int) else 0)
    except click.Abort:
        refuse("Stopped; nothing was changed.", as_json)
    except click.ClickException as fault:
        refuse(fault.format_message(), as_json)
    except DoubtfulReading as fault:
        refuse(f"{fault} Nothing is kept; add --sure to keep it as typed.", as_json, fault)
    except FoldwrightError as fault:
        refuse(str(fault), as_json, fault)
    except BrokenPipeError:
        sys.exit(0)
    except Exception as mistake:  # the maker gets a sentence, we get the trace
        refuse(own_mistake(mistake), as_json)


def refuse(words: str, as_json: bool, fault: FoldwrightError | None = None) -> None:
    """Say why nothing was done, and leave with code 2."""
    if as_json:
        kind = type(fault).__name__ if fault else "Refused"
        body: dict[str, Any] = {"kind": kind, "message": words}
        if isinstance(fault, PlanFaults | ImportFaults):
            body["faults"] = [vars(f) if isinstance(f, Fault) else f for f in fault.faults]
        print_json({"error": body})
    click.echo(words, err=True)
    sys.exit(2)


def made_of(build: Path) -> Made:
    """Everything that follows from the plan and the ledger of a build folder."""
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    with ledger:
        return make(plan, ledger)


def print_json(body: dict[str, Any]) -> None:
    """Print one JSON body."""
    click.echo(json.dumps(body, indent=1, ensure_ascii=False))
