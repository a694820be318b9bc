"""A browser, a server and the demo build, shared by the tests of one module.

Without a browser these tests are skipped with a line that says how to get one; where
CI or FOLDWRIGHT_BROWSER is set they fail instead.
"""

import shutil
from contextlib import ExitStack

import pytest
from playwright.sync_api import sync_playwright

from web.browser.driving import (
    Eye,
    find_browser,
    launched,
    must_have_browser,
    put_plate_drawing,
    served,
)


def pytest_runtest_setup(item):
    """Skip what needs a browser where there is none; said from here, it is one line in all."""
    if "browser" in getattr(item, "fixturenames", ()) and not must_have_browser():
        found, trouble = find_browser()
        if found is None:
            pytest.skip(trouble)


@pytest.fixture(scope="module")
def browser():
    """Drive a Chromium; each module its own, so that no loop of events is left behind."""
    found, trouble = find_browser()
    if found is None:
        pytest.fail(trouble)
    with sync_playwright() as playwright:
        chromium = launched(playwright)
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def bench(browser, measured_demo, tmp_path_factory):
    """Serve a copy of the demo with a drawing beside it: for what only looks."""
    folder = shutil.copytree(measured_demo, tmp_path_factory.mktemp("bench") / measured_demo.name)
    put_plate_drawing(folder)
    with served(folder) as bench:
        yield bench


@pytest.fixture
def fresh(browser, measured_demo, tmp_path):
    """Serve a copy of the demo to one test alone: for what writes."""
    with served(shutil.copytree(measured_demo, tmp_path / measured_demo.name)) as bench:
        yield bench


@pytest.fixture
def eye(browser):
    """Open browsers on a bench; what goes wrong in one fails the test."""
    with ExitStack() as stack:

        def opened(bench, size="desktop", scheme="light"):
            seen = Eye(browser, bench, size, scheme)
            stack.callback(seen.close)
            return seen

        yield opened
