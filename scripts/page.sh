#!/bin/sh
# Bundle the scripts of the page anew; needs Node, which nothing else here does.
set -eu
cd "$(dirname "$0")/../page"
npm ci --ignore-scripts --no-audit --no-fund --silent
node build.mjs
