#!/bin/sh
# Make .venv with the foldwright command in it; quick when nothing changed.
#
# Everything comes from requirements.lock and is checked against its hashes,
# the tool that installs Foldwright itself included. What was set up is noted
# in .venv/set-up-from; a changed lock, a changed pyproject.toml or a moved
# folder sets up anew. Two set-ups at once wait for each other.
set -eu
cd "$(dirname "$0")/.."

wanted() {
    pwd -P # an environment does not survive being moved
    cat requirements.lock pyproject.toml scripts/setup.sh | cksum
}

is_done() {
    [ -x .venv/bin/python ] && [ -x .venv/bin/foldwright ] && [ -f .venv/set-up-from ] &&
        [ "$(cat .venv/set-up-from)" = "$(wanted)" ]
}

# Hold the folder .venv.lock while working; take it over from a process that died.
wait_for_turn() {
    nameless=0
    until mkdir .venv.lock 2>/dev/null; do
        owner=$(cat .venv.lock/pid 2>/dev/null || true)
        [ -n "$owner" ] || nameless=$((nameless + 1))
        if { [ -n "$owner" ] && ! kill -0 "$owner" 2>/dev/null; } || [ "$nameless" -gt 5 ]; then
            rm -rf .venv.lock
            nameless=0
        else
            sleep 1
        fi
    done
    echo $$ >.venv.lock/pid
    trap 'rm -rf .venv.lock' EXIT
    trap 'exit 130' HUP INT TERM
}

is_done && exit 0
wait_for_turn
is_done && exit 0

if [ "$(head -n 1 .venv/set-up-from 2>/dev/null || true)" != "$(pwd -P)" ] ||
    ! .venv/bin/python -m pip --version >/dev/null 2>&1; then
    python=$(sh scripts/find-python.sh)
    echo "Setting up .venv with $python, which takes a minute or two."
    "$python" -m venv --clear .venv
    pwd -P >.venv/set-up-from # so that an interrupted set-up goes on where it stopped
else
    echo "Bringing .venv up to date."
fi

install() {
    .venv/bin/python -m pip --disable-pip-version-check --no-input install --quiet "$@" || {
        echo "Set-up stopped: the message above says why. With the network back, run make again." >&2
        exit 1
    }
}
install --require-hashes -r requirements.lock
install --no-deps --no-build-isolation -e .
wanted >.venv/set-up-from
