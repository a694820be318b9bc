#!/bin/sh
# Write requirements.lock anew: the newest releases that pyproject.toml allows,
# for every system and every Python from 3.12, each with its hashes.
#
# The resolver (uv) is installed into a throw-away environment of its own;
# installing from the lock needs nothing but pip.
set -eu
cd "$(dirname "$0")/.."
tools=$(mktemp -d)
trap 'rm -rf "$tools"' EXIT
"$(sh scripts/find-python.sh)" -m venv "$tools"
"$tools/bin/python" -m pip --disable-pip-version-check install --quiet uv
UV_CUSTOM_COMPILE_COMMAND="make lock" "$tools/bin/uv" pip compile pyproject.toml --extra dev \
    --universal --python-version 3.12 --generate-hashes --no-config --no-emit-index-url \
    --quiet --upgrade --output-file requirements.lock
