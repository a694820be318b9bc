# Foldwright. `make demo` shows the whole job, `make test` checks everything.
# Needs make and a Python 3.12 or newer, nothing else; the tests of the page a Chromium too.

SHELL = /bin/sh
BIN = .venv/bin

.PHONY: help setup demo test proof checks bench lock page clean

help:
	@echo "make demo    set up, run the whole job on a demo build, then serve it (SERVE=no: do not)"
	@echo "make test    set up, then run every check (random ones at reduced counts)"
	@echo "make proof   the same with the full counts"
	@echo "make setup   .venv with the foldwright command in it"
	@echo "make bench   measure how long things take"
	@echo "make lock    write requirements.lock anew from pyproject.toml"
	@echo "make page    bundle the scripts of the page anew (needs Node)"
	@echo "make clean   remove what was made, except .venv"

# Compiled ahead, as pip does it with what it installs: a first start need not, nor one that
# is told to write no byte code.
setup:
	@sh scripts/setup.sh
	@$(BIN)/python -m compileall -q src

demo: setup
	@SERVE="$(SERVE)" sh scripts/demo.sh

checks: setup
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

test: checks
	$(BIN)/python -m pytest -n 2 --dist worksteal
	@sh scripts/browser.sh >/dev/null || echo "The tests of the page in a browser were SKIPPED."

proof: checks
	FOLDWRIGHT_PROOF=1 $(BIN)/python -m pytest -n 2 --dist worksteal
	@sh scripts/browser.sh >/dev/null || echo "The tests of the page in a browser were SKIPPED."

bench: setup
	@for bench in bench/*.py; do echo "== $$bench"; $(BIN)/python "$$bench" || exit 1; done

lock:
	@sh scripts/lock.sh

page:
	@sh scripts/page.sh

clean:
	rm -rf build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find src tests bench -name __pycache__ -type d -prune -exec rm -rf {} +
