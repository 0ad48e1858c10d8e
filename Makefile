# `make demo` runs the whole job on the demo book; `make test` runs every check.
# Each sets up what it needs first, on a fresh machine too.

VENV := .venv
STAMP := $(VENV)/.installed
TEST_STAMP := $(VENV)/.installed-for-tests

.PHONY: demo test check bench clean

demo: $(STAMP)
	$(VENV)/bin/lettering demo --out demo/out

test: $(TEST_STAMP) check
	$(VENV)/bin/python -m pytest -n auto --dist loadfile

check: $(TEST_STAMP)
	$(VENV)/bin/ruff check .
	$(VENV)/bin/ruff format --check .
	$(VENV)/bin/mypy

bench: $(TEST_STAMP)
	for script in benchmarks/*.py; do $(VENV)/bin/python $$script || exit 1; done

$(STAMP): pyproject.toml scripts/setup scripts/system-packages
	scripts/setup $(VENV)

$(TEST_STAMP): pyproject.toml scripts/setup scripts/system-packages
	scripts/setup $(VENV) test

clean:
	rm -rf $(VENV) demo/out .mypy_cache .ruff_cache .hypothesis
