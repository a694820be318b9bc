"""`simulate`: thousands of builds on paper, to see which way of working saves remakes."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.termui import progressbar

from foldwright.cli.root import DIR, JSON, cli, made_of, print_json
from foldwright.errors import OutputRefused

if TYPE_CHECKING:
    from foldwright.fit import Simulated

_PLOTS = (".svg", ".pdf")
_FACTOR = click.FloatRange(0.1, 10.0)
_SAID = {
    "sensible": "as drawn, tried on and trimmed",
    "to_suit": "each part to suit what is made",
    "refit_drawn": "refit, in the order drawn",
    "refit_chosen": "refit, in the order chosen",
}


@cli.command()
@DIR
@click.option("-n", "count", type=click.IntRange(1, 1_000_000), default=300, show_default=True)
@click.option("--processes", type=click.IntRange(1, 256), help="All that this machine has.")
@click.option("--cluster", help="Address of a Dask scheduler to run them on instead.")
@click.option("--scatter", type=_FACTOR, default=1.0, help="Hands that stray so many times as far.")
@click.option("--bias", type=_FACTOR, default=1.0, help="Hands so many times as biased.")
@click.option("--blunders", type=_FACTOR, default=1.0, help="So many times as many blunders.")
@click.option(
    "--plot",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Draw the outcome too, as an .svg or .pdf file.",
)
@JSON
def simulate(
    build: Path,
    count: int,
    processes: int | None,
    cluster: str | None,
    scatter: float,
    bias: float,
    blunders: float,
    plot: Path | None,
    as_json: bool,
) -> None:
    """Make the build on paper, many times, by four ways of working, with hands drawn by lot.

    The same hands try every way, and the same trimming and shimming is open to all.
    """
    from foldwright.fit import Stress
    from foldwright.fit.simulate import simulate as run

    if plot is not None:
        _require_plot(plot)
    made = made_of(build)
    made.require()
    works = made.assembly.works
    stress = Stress(scatter, bias, blunders)
    # two builds show nothing that processes would speed up
    workers = min(count, processes or os.cpu_count() or 1)
    with (
        _executor(cluster, workers) as executor,
        progressbar(length=count, label="Building", file=sys.stderr) as bar,
    ):
        found = run(works, count, stress=stress, executor=executor, done=lambda _: bar.update(1))
    if plot is not None:
        _draw(plot, made.plan.name, count, found)
    if as_json:
        print_json({"build": made.plan.name, **found.as_json()})
        return
    _say(made.plan.name, count, found)
    if plot is not None:
        click.echo(f"Drawn: {plot}")


def _require_plot(path: Path) -> None:
    """Refuse before the builds are made what could not be written after them."""
    if path.suffix.lower() not in _PLOTS:
        raise OutputRefused(
            f"{path} is no name for a plot. Give it the ending {' or '.join(_PLOTS)}."
        )
    if path.is_dir():
        raise OutputRefused(f"{path} is a folder. Give the plot a name of its own in it.")
    if not path.absolute().parent.is_dir():
        raise OutputRefused(
            f"There is no folder {path.absolute().parent} for the plot. Make it, or name another."
        )


def _draw(path: Path, name: str, count: int, found: Simulated) -> None:
    from foldwright.draw import Figure, Way, WaysPlot
    from foldwright.files import write_bytes

    def figure(way: str, what: str) -> Figure:
        mean = found.mean(way, what)
        return Figure(mean.value, mean.low, mean.high)

    drawn = WaysPlot(
        name,
        f"Made on paper {'once' if count == 1 else f'{count} times'} by each way of working, by "
        "the same hands. What each build takes: a dot is the mean, and 90 in 100 such means lie on "
        "the line through it.",
        tuple(
            Way(_SAID[way], figure(way, "remakes"), figure(way, "minutes")) for way in found.tallies
        ),
    )
    is_svg = path.suffix.lower() == ".svg"
    write_bytes(path, drawn.svg().encode() if is_svg else drawn.pdf())


@contextmanager
def _executor(cluster: str | None, workers: int) -> Iterator[Executor | None]:
    if cluster is not None:
        try:
            from distributed import Client
        except ImportError as fault:
            raise OutputRefused(
                "A cluster needs the package of its own: pip install foldwright[cluster]."
            ) from fault
        try:
            client = Client(cluster)
        except (OSError, ValueError) as fault:  # nobody there, or not an address
            raise OutputRefused(
                f'No scheduler answers at "{cluster}". Give the address that it printed when it '
                "started, as in tcp://192.0.2.7:8786."
            ) from fault
        with client:
            yield client.get_executor()
        return
    if workers == 1:
        yield None
        return
    # spawned, since solvers and threads do not survive a fork
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        yield pool


def _say(name: str, count: int, found: Simulated) -> None:
    click.echo(f"{name}, made {count} times by each way of working.")
    click.echo(
        f"{'':32}{'remade':>10}{'minutes':>10}{'without a':>12}{'filler':>9}{'drift in':>10}"
    )
    click.echo(f"{'':32}{'parts':>10}{'of rework':>10}{'remake':>12}{'mm':>9}{'gives':>10}")
    for way in found.tallies:
        clean = found.share(way, lambda tally: tally.remakes == 0).value
        click.echo(
            f"{_SAID[way]:32}{found.mean(way, 'remakes').value:10.2f}"
            f"{found.mean(way, 'minutes').value:10.0f}{100.0 * clean:9.0f} %"
            f"{found.mean(way, 'filler').value:12.1f}{found.mean(way, 'drift').value:10.2f}"
        )
    for way in found.tallies:
        ratio = found.ratio(way, "sensible") if way != "sensible" else None
        if ratio is not None:
            click.echo(
                f"{_SAID[way]}: {ratio.value:.2f} of the remakes of the first way "
                f"({ratio.low:.2f} to {ratio.high:.2f})."
            )
    click.echo(found.plot())
