"""A build of the demo under a page, asked without a network."""

import shutil
import warnings
from contextlib import contextmanager
from pathlib import Path

import pytest

from foldwright.web import LiveBuild, page_of

with warnings.catch_warnings():
    # it would rather have another client, which differs in nothing that is used here
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

DEMO = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"


class Browser(TestClient):
    """A browser on the maker's own machine; its forms carry the token of the page."""

    def __init__(self, app, host="127.0.0.1", client="127.0.0.1", **more):
        super().__init__(
            app, base_url=f"http://{host}", client=(client, 50000), follow_redirects=False, **more
        )

    @property
    def token(self):
        """Token of this browser's session; read off the page that is quickest to make."""
        return self.get("/pair").text.split('name="token" value="')[1].split('"')[0]

    def submit(self, address, _token=None, _headers=None, **fields):
        """POST a form as a page of ours does."""
        fields["token"] = self.token if _token is None else _token
        return self.post(address, data=fields, headers=_headers)


def copy_of_demo(folder: Path) -> Path:
    """The demo build with all that was measured so far."""
    from click.testing import CliRunner

    from foldwright.cli import cli

    folder.mkdir()
    shutil.copy(DEMO / "plan.toml", folder / "plan.toml")
    result = CliRunner().invoke(cli, ["import", str(folder), str(DEMO / "history.jsonl")])
    assert result.exit_code == 0, result.output
    return folder


@pytest.fixture(scope="session")
def measured_demo(tmp_path_factory):
    """Not to be changed: copy it."""
    return copy_of_demo(tmp_path_factory.mktemp("demo") / "harbour-signal-lamp")


@pytest.fixture
def demo(measured_demo, tmp_path):
    """A build folder of one's own."""
    return Path(shutil.copytree(measured_demo, tmp_path / "harbour-signal-lamp"))


@contextmanager
def page_on(folder, **options):
    """The page of a build; what it works out ends with it."""
    app = page_of(LiveBuild(folder), **options)
    try:
        yield app
    finally:
        app.state.jobs.close()


@pytest.fixture
def app(demo):
    """The page of a demo build of one's own."""
    with page_on(demo) as app:
        yield app


@pytest.fixture
def browser(app):
    """A browser on the maker's own machine."""
    return Browser(app)


@pytest.fixture(scope="session")
def _looked_at(measured_demo, tmp_path_factory):
    folder = shutil.copytree(measured_demo, tmp_path_factory.mktemp("still") / measured_demo.name)
    with page_on(folder) as app:
        yield app


@pytest.fixture
def still(_looked_at):
    """A browser for what only looks, or is refused: all share one page, made once."""
    live = _looked_at.state.live
    before = live.refresh().version
    yield Browser(_looked_at)
    assert live.refresh().version == before, "something was written; it needs a page of its own"
