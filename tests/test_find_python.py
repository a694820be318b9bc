"""Set-up finds a working Python by itself, and says in one line what to install."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parent.parent / "scripts" / "find-python.sh"
OLD = 'echo "Python 3.11" >/dev/null; exit 1'
SHIM = 'echo "manager: python3.12: command not found" >&2; exit 127'


@pytest.fixture
def machine(tmp_path):
    """A machine with nothing but a shell: an empty path and an empty home."""
    (tmp_path / "bin").mkdir()
    (tmp_path / "home").mkdir()
    return tmp_path


def put(place, body):
    """Put a program in place of a Python."""
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(f"#!/bin/sh\n{body}\n")
    place.chmod(0o755)
    return place


def real(place):
    return put(place, f'exec "{sys.executable}" "$@"')


def pretending(place, preamble):
    """Put a real Python in place that runs `preamble` first."""
    return put(place, f'shift; code=$1; shift; exec "{sys.executable}" -c "{preamble}\n$code" "$@"')


def find(machine, *folders, **more):
    """Run the search; system folders are taken out, so that this machine's own do not answer."""
    script = SCRIPT.read_text()
    for system in ("/opt/homebrew", "/usr/local/bin", "/usr/bin"):
        script = script.replace(f" {system}/", f" {machine}{system}/")
    local = machine / "find-python.sh"
    local.write_text(script)
    environment = {
        "PATH": ":".join(str(f) for f in (folders or [machine / "bin"])),
        "HOME": str(machine / "home"),
        **{name: str(value) for name, value in more.items()},
    }
    found = subprocess.run(
        ["/bin/sh", str(local)], env=environment, capture_output=True, text=True, timeout=60
    )
    return found.returncode, found.stdout.strip(), found.stderr.strip()


def test_a_python_on_the_path_is_found_as_what_really_runs(machine):
    real(machine / "bin" / "python3")

    assert find(machine) == (0, sys.executable, "")


def test_a_shim_that_fails_is_skipped(machine):
    put(machine / "shims" / "python3.12", SHIM)
    put(machine / "shims" / "python3", OLD)
    real(machine / "bin" / "python3.12")

    assert find(machine, machine / "shims", machine / "bin") == (0, sys.executable, "")


@pytest.mark.parametrize(
    "place",
    [
        ".pyenv/versions/3.12.1/bin/python",
        ".asdf/installs/python/3.13.0/bin/python",
        ".local/share/mise/installs/python/3.12/bin/python",
        ".local/share/uv/python/cpython-3.13.1-linux/bin/python",
    ],
)
def test_else_one_that_a_version_manager_installed_is_found(machine, place):
    put(machine / "bin" / "python3", SHIM)
    put(machine / "home" / ".pyenv" / "versions" / "3.11.7" / "bin" / "python", OLD)
    real(machine / "home" / place)

    assert find(machine) == (0, sys.executable, "")


def test_a_version_manager_elsewhere_is_found(machine):
    real(machine / "my pythons" / "versions" / "3.12.1" / "bin" / "python")

    assert find(machine, PYENV_ROOT=machine / "my pythons") == (0, sys.executable, "")


def test_folders_with_spaces_and_programs_that_hang_on_input_do_no_harm(machine):
    put(machine / "bin" / "python3.14", "read line; exit 1")
    real(machine / "more bin" / "python3")

    assert find(machine, machine / "bin", machine / "more bin") == (0, sys.executable, "")


def test_the_one_that_the_maker_names_comes_first(machine):
    put(machine / "bin" / "python3", "exit 1")
    named = real(machine / "home" / "mine")

    assert find(machine, FOLDWRIGHT_PYTHON=named) == (0, sys.executable, "")


def test_with_none_one_line_says_what_to_install(machine):
    put(machine / "bin" / "python3", OLD)

    code, out, words = find(machine)

    assert (code, out) == (1, "")
    assert "needs Python 3.12 or newer: install it" in words
    assert len(words.splitlines()) == 1


def test_a_python_that_can_make_no_environment_is_skipped(machine):
    pretending(machine / "bin" / "python3.13", "import sys; sys.modules['ensurepip'] = None")
    real(machine / "bin" / "python3")

    assert find(machine) == (0, sys.executable, "")


def test_a_python_without_its_venv_part_is_named_with_what_to_install(machine):
    place = machine / "bin" / "python3"
    pretending(place, "import sys; sys.modules['ensurepip'] = None")

    code, out, words = find(machine)

    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    assert (code, out) == (1, "")
    assert words.startswith(f"{place} ({version}) cannot make an environment")
    assert f"apt install python{version}-venv" in words
    assert len(words.splitlines()) == 1


def test_one_that_is_too_new_for_the_wheels_is_only_a_last_resort(machine):
    newer = "import sys; sys.version_info = (3, 99, 0); sys.executable = '/newer'"
    pretending(machine / "bin" / "python3", newer)

    assert find(machine) == (0, "/newer", "")
    real(machine / "home" / ".pyenv" / "versions" / "3.12.1" / "bin" / "python")
    assert find(machine) == (0, sys.executable, "")


def test_old_pythons_are_not_taken(machine):
    older = "import sys; sys.version_info = (3, 11, 9)"
    pretending(machine / "bin" / "python3", older)

    assert find(machine)[0] == 1


def test_what_it_finds_here_can_make_an_environment(tmp_path):
    """On the machine that runs this test, as it is."""
    found = subprocess.run(
        ["/bin/sh", str(SCRIPT)],
        env={**os.environ, "FOLDWRIGHT_PYTHON": sys.executable},
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    subprocess.run([found, "-m", "venv", "--without-pip", str(tmp_path / "v")], check=True)

    assert (tmp_path / "v" / "bin" / "python").exists()
