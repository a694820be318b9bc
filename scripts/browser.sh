#!/bin/sh
# Print the Chromium that tests of the page drive, or say how to get one.
#
# With the word "install" Debian's own is installed where there is none; nothing is
# ever fetched from anywhere but the system's package sources. FOLDWRIGHT_BROWSER may
# name another Chromium; "must" there means that tests fail instead of being skipped.
set -eu

find_browser() {
    for browser in "${FOLDWRIGHT_BROWSER:-}" chromium chromium-browser google-chrome; do
        case $browser in "" | must) continue ;; esac
        # a stub that only tells how to install one is found by asking for the version
        command -v "$browser" >/dev/null 2>&1 && "$browser" --version >/dev/null 2>&1 || continue
        command -v "$browser"
        return 0
    done
    return 1
}

find_browser && exit 0
if [ "${1:-}" = install ]; then
    if [ "$(id -u)" -ne 0 ]; then
        echo "The tests of the page need a browser: have root run apt-get install chromium, then go on." >&2
        exit 1
    fi
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "The tests of the page need a browser: install Chromium and name it in FOLDWRIGHT_BROWSER." >&2
        exit 1
    fi
    echo "Installing chromium, which the tests of the page drive." >&2
    export DEBIAN_FRONTEND=noninteractive
    {
        apt-get update -q
        apt-get install -q -y --no-install-recommends chromium
    } >&2
    find_browser && exit 0
fi
echo "No browser to test the page with: install Chromium (Debian: apt install chromium), or name one in FOLDWRIGHT_BROWSER." >&2
exit 1
