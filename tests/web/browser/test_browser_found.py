"""A browser is found, or how to get one is said in one line; nothing is fetched in secret."""

import os
import subprocess
import sys

import pytest

from web.browser.driving import ROOT, must_have_browser

SCRIPT = ROOT / "scripts" / "browser.sh"


@pytest.fixture
def machine(tmp_path):
    """Run the search on a machine that has a shell and what is put into its bin."""

    def put(name, body):
        place = tmp_path / name
        place.write_text(f"#!/bin/sh\n{body}\n")
        place.chmod(0o755)
        return place

    def find(*words, **more):
        environment = {"PATH": str(tmp_path), **more}
        done = subprocess.run(
            ["/bin/sh", str(SCRIPT), *words], env=environment, capture_output=True, text=True
        )
        return done.returncode, done.stdout.strip(), done.stderr.strip()

    find.put = put
    return find


def test_a_browser_on_the_path_is_found(machine):
    chromium = machine.put("chromium", "echo Chromium 150")

    assert machine() == (0, str(chromium), "")


def test_a_stub_that_only_says_how_to_install_one_is_passed_over(machine):
    machine.put("chromium", "echo 'run: store install chromium' >&2; exit 1")
    other = machine.put("google-chrome", "echo 150")

    assert machine() == (0, str(other), "")


def test_the_one_that_is_named_comes_first(machine):
    machine.put("chromium", "echo Chromium 150")
    mine = machine.put("mine", "echo Chromium 151")

    assert machine(FOLDWRIGHT_BROWSER=str(mine)) == (0, str(mine), "")


def test_with_none_one_line_says_how_to_get_one(machine):
    code, out, words = machine()

    assert (code, out) == (1, "")
    assert "apt install chromium" in words
    assert len(words.splitlines()) == 1


def test_only_root_is_let_install_one_and_others_are_told(machine):
    machine.put("id", "echo 1000")
    machine.put("apt-get", "echo never >&2")
    code, out, words = machine("install")

    assert (code, out) == (1, "")
    assert words == (
        "The tests of the page need a browser: have root run apt-get install chromium, then go on."
    )


def test_root_installs_the_one_of_the_system(machine, tmp_path):
    """The package tool here writes down what it is asked, and brings the browser."""
    machine.put("id", "echo 0")
    machine.put(
        "apt-get",
        'echo "$*" >>"${0%/*}/asked"\n'
        'case "$*" in *chromium) '
        "printf '#!/bin/sh\\necho 150\\n' >\"${0%/*}/chromium\"; "
        '/bin/chmod +x "${0%/*}/chromium" ;; esac',
    )
    code, out, _ = machine("install", FOLDWRIGHT_BROWSER="must")

    assert (code, out) == (0, str(tmp_path / "chromium"))
    asked = (tmp_path / "asked").read_text().splitlines()
    assert [line.split()[0] for line in asked] == ["update", "install"]


def _tests_without_a_browser(tmp_path, **more):
    """Run one test of the page where no browser is on the path."""
    (tmp_path / "sh").symlink_to("/bin/sh")
    environment = {k: v for k, v in os.environ.items() if k not in ("CI", "FOLDWRIGHT_BROWSER")} | {
        "PATH": str(tmp_path),
        **more,
    }
    return subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-q"),
            str(ROOT / "tests/web/browser/test_seen.py"),
        ],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
    )


def test_without_a_browser_tests_of_the_page_are_skipped_with_one_loud_line(tmp_path):
    done = _tests_without_a_browser(tmp_path)
    loud = [line for line in done.stdout.splitlines() if "No browser to test the page with" in line]

    assert done.returncode == 0, done.stdout
    assert len(loud) == 1 and loud[0].startswith("SKIPPED [")
    assert "apt install chromium" in loud[0]


def test_where_a_change_is_judged_a_missing_browser_fails(tmp_path):
    done = _tests_without_a_browser(tmp_path, FOLDWRIGHT_BROWSER="must")

    assert done.returncode == 1
    assert "No browser to test the page with" in done.stdout
    assert "skipped" not in done.stdout.splitlines()[-1]


@pytest.mark.parametrize("name", ["CI", "FOLDWRIGHT_BROWSER"])
def test_either_name_says_that_a_change_is_judged_here(monkeypatch, name):
    for known in ("CI", "FOLDWRIGHT_BROWSER"):
        monkeypatch.delenv(known, raising=False)

    assert not must_have_browser()
    monkeypatch.setenv(name, "true")
    assert must_have_browser()
