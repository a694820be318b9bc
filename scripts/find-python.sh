#!/bin/sh
# Print the path of a Python that Foldwright can be set up with.
#
# It must be 3.12 or newer, and able to make a virtual environment by itself.
# Every candidate is tried by running it: a version manager leaves names on the
# path (shims) that answer "command not found", and some systems ship Python
# without the parts that an environment needs. With none, one line on standard
# error says what to install, and the exit code is 1.
#
# FOLDWRIGHT_PYTHON names one to try first.

newest_with_wheels=14 # every library in requirements.lock has a wheel up to 3.14
lacking=
home=${HOME:-/nonexistent}
data=${XDG_DATA_HOME:-$home/.local/share}

probe='
import sys
if not (3, 12) <= sys.version_info[:2] <= (3, int(sys.argv[1])):
    sys.exit(1)
try:
    import sqlite3, ssl, venv, zlib
    import ensurepip
    ensurepip.version()
except Exception:
    print("lacks %d.%d" % sys.version_info[:2])
else:
    print("usable " + sys.executable)
'

# try CANDIDATE NEWEST: print its real path and leave, or return to try the next.
try() {
    [ -f "$1" ] && [ -x "$1" ] || return 0
    answer=$("$1" -c "$probe" "$2" </dev/null 2>/dev/null) || return 0
    case $answer in
    "usable "?*)
        printf '%s\n' "${answer#usable }"
        exit 0
        ;;
    "lacks "*) lacking=${lacking:-"$1 (${answer#lacks })"} ;;
    esac
}

try_all() {
    [ -z "${FOLDWRIGHT_PYTHON:-}" ] || try "$FOLDWRIGHT_PYTHON" "$1"
    for name in python3.14 python3.13 python3.12 python3 python; do
        rest=${PATH:-}: # by hand, so that spaces in folder names do no harm
        while [ -n "$rest" ]; do
            try "${rest%%:*}/$name" "$1"
            rest=${rest#*:}
        done
    done
    for candidate in \
        "${PYENV_ROOT:-$home/.pyenv}"/versions/*/bin/python \
        "${ASDF_DATA_DIR:-$home/.asdf}"/installs/python/*/bin/python \
        "${MISE_DATA_DIR:-$data/mise}"/installs/python/*/bin/python \
        "${UV_PYTHON_INSTALL_DIR:-$data/uv/python}"/*/bin/python \
        /opt/homebrew/bin/python3* \
        /opt/homebrew/opt/python@3*/bin/python3* \
        /usr/local/bin/python3* \
        /usr/bin/python3*; do
        try "$candidate" "$1"
    done
}

try_all "$newest_with_wheels"
try_all 99 # newer still: libraries without a wheel are compiled, if a compiler is there

if [ -n "$lacking" ]; then
    version=${lacking##*\(}
    echo "$lacking cannot make an environment: install its venv part (Debian, Ubuntu: apt install python${version%\)}-venv), then run make again." >&2
else
    echo "Foldwright needs Python 3.12 or newer: install it (Debian, Ubuntu: apt install python3 python3-venv; others: python.org), or set FOLDWRIGHT_PYTHON to one, then run make again." >&2
fi
exit 1
