#!/bin/sh
# The whole loop on a copy of the demo build: check it, draw it, take in what was
# made so far, measure one more part, redraw what has to meet them. The copy stays,
# with what you do to it. It ends by serving it until Ctrl-C; with SERVE=no, or where
# there is no terminal (as in CI), it ends by itself. SERVE=yes serves without terminal.
set -eu
cd "$(dirname "$0")/.."
build=build/harbour-signal-lamp

run() {
    printf '\n$ %s\n' "$*"
    "$@"
}

if [ ! -e "$build/plan.toml" ]; then
    mkdir -p "$build"
    cp examples/harbour-signal-lamp/plan.toml "$build/plan.toml"
fi
PATH=$PWD/.venv/bin:$PATH

echo "The harbour signal lamp: 26 parts of folded, curled and flat board, tube and bar."
run foldwright check "$build"
run foldwright make "$build"
[ -e "$build/patterns-as-first-drawn.json" ] ||
    cp "$build/out/patterns.json" "$build/patterns-as-first-drawn.json"
echo
echo "The build is half-way: base, legs, a cheek and the pedestal are made and measured."
run foldwright import "$build" examples/harbour-signal-lamp/history.jsonl
run foldwright next "$build"
echo
echo "Say the lamp is made too, and before painting the tape reads 694.5 round it."
run foldwright measure "$build" lamp.girth 694.5 --with tape
run foldwright refit "$build" --keep
run foldwright make "$build"

cat <<END

Everything lies in $build:
  plan.toml                       the plan; edit it and draw again
  ledger.sqlite                   the reading and the revision; nothing in it is ever lost
  out/build-book.pdf              a page for each part that changes, a route sheet for each
  out/                            templates, marking-out sheets, layouts, DXF, patterns
  patterns-as-first-drawn.json    the patterns before anything was measured
Go on with .venv/bin/foldwright --help, or begin your own: .venv/bin/foldwright start DIR
END

serve=${SERVE:-}
[ -n "$serve" ] || { [ -t 0 ] && [ -t 1 ] && serve=yes; } || serve=no
if [ "$serve" = no ]; then
    echo "See it in the browser: .venv/bin/foldwright serve $build"
    exit 0
fi
echo
echo "And in the browser:"
exec foldwright serve "$build"
