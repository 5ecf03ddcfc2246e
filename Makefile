# The two commands a newcomer needs are `make demo` and `make test`.
.DEFAULT_GOAL := help
SHELL := /bin/bash

PYTHON ?= $(shell for p in python3.13 python3.12 python3.11 python3; do \
	if command -v $$p >/dev/null 2>&1 && $$p -c 'import sys; sys.exit(not (3,11) <= sys.version_info[:2] <= (3,13))' 2>/dev/null; \
	then command -v $$p; break; fi; done)
VENV ?= .venv
BIN := $(VENV)/bin
OUT ?= out

.PHONY: help demo test check bench pictures docs clean

help: ## Say what can be made
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | awk -F'\t' '{printf "  make %-9s %s\n", $$1, $$2}'

demo: $(VENV)/.base ## Set up, build the invented example and say where its pack lies
	@echo "== Building the invented example"
	@rm -rf $(OUT)/demo
	@$(BIN)/pitchline demo -o $(OUT)/demo; code=$$?; if [ $$code -gt 1 ]; then exit $$code; fi
	@echo "== The pack lies in $(OUT)/demo: open $(OUT)/demo/index.html"

test: $(VENV)/.dev ## Set up, then lint, types, house rules and every test
	@$(MAKE) --no-print-directory check
	@echo "== Tests"
	@$(BIN)/python -m pytest -n auto --maxprocesses 6 --dist loadfile

check: $(VENV)/.dev ## Lint, format, types and who may import whom
	@echo "== Lint and format"
	@$(BIN)/ruff check . && $(BIN)/ruff format --check .
	@echo "== Types"
	@$(BIN)/mypy
	@echo "== Who may import whom"
	@$(BIN)/lint-imports

bench: $(VENV)/.dev ## Time the steps, with ratios
	@$(BIN)/python -m benchmarks.run

pictures: $(VENV)/.base ## Draw the pictures of the front page anew
	@$(BIN)/python docs/pictures.py

docs: $(VENV)/.docs ## Build the documentation into docs/_build
	@$(BIN)/sphinx-build -W --keep-going -q -b html docs docs/_build/html && echo "== open docs/_build/html/index.html"

$(VENV)/.made:
	@test -n "$(PYTHON)" || { echo "pitchline needs CPython 3.11, 3.12 or 3.13; none was found."; exit 1; }
	@echo "== Making a virtual environment with $(PYTHON)"
	@"$(PYTHON)" -m venv $(VENV) || { echo "Installing the venv module"; apt-get update -q && apt-get install -y -q python3-venv && "$(PYTHON)" -m venv $(VENV); }
	@touch $@

$(VENV)/.base: $(VENV)/.made pyproject.toml
	@echo "== Installing pitchline (a minute on a fresh machine)"
	@$(BIN)/python -m pip install -q --disable-pip-version-check -e .
	@touch $@

$(VENV)/.dev: $(VENV)/.made pyproject.toml
	@echo "== Installing pitchline with its test tools (some minutes on a fresh machine)"
	@$(BIN)/python -m pip install -q --disable-pip-version-check -e '.[dev]'
	@bash tests/system.sh "$(BIN)/python"
	@touch $@ $(VENV)/.base

$(VENV)/.docs: $(VENV)/.dev
	@$(BIN)/python -m pip install -q --disable-pip-version-check -e '.[dev,docs]'
	@touch $@

clean: ## Remove the virtual environment, caches and built files
	rm -rf $(VENV) $(OUT) docs/_build .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
