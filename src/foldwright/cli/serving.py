"""`serve`: the page of a build, in the browser."""

from __future__ import annotations

from pathlib import Path

import click

from foldwright.cli.root import DIR, cli
from foldwright.errors import FoldwrightError

# Where nothing usual listens; the same each time, so that a browser's bookmark holds.
_PORT = 8734


@cli.command()
@DIR
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=_PORT,
    show_default=True,
    help="Where it listens; 0 for any that is free.",
)
@click.option(
    "--other-devices",
    is_flag=True,
    help="Let phones and tablets of your own network in, each with a code from your screen.",
)
def serve(build: Path, port: int, other_devices: bool) -> None:
    """Show the build in the browser, until Ctrl-C.

    Only this machine can reach it, unless you say --other-devices; even then a device
    sees nothing until you have shown it a code.
    """
    folder = _folder_of(build)
    from foldwright.web.serving import addresses, listen
    from foldwright.web.serving import serve as answer

    with listen(port, is_open=other_devices) as line:
        here, *elsewhere = addresses(line.getsockname()[1], is_open=other_devices)

        def ready() -> None:
            click.echo(f"{folder.name} is served at {here}")
            for address in elsewhere:
                click.echo(f"From other devices: {address}")
            if other_devices:
                click.echo(f"The code that lets a device in is shown at {here}devices")
            click.echo("Ctrl-C ends it.")

        answer(folder, line, is_open=other_devices, ready=ready)
    click.echo("Ended. Everything that was written down is in the build folder.")


def _folder_of(build: Path) -> Path:
    """Folder of a build, which has a plan in it even if the plan has faults."""
    from foldwright.make import PLAN_FILE

    folder = build.parent if build.suffix == ".toml" else build
    if not folder.is_dir():
        raise FoldwrightError(
            f"There is no folder {folder}. Say where the build lies, or begin one with: "
            f"foldwright start {folder}"
        )
    if not (folder / PLAN_FILE).is_file():
        raise FoldwrightError(
            f"{folder} is no build: there is no {PLAN_FILE} in it. Begin one with: "
            f"foldwright start {folder}"
        )
    return folder.resolve()
