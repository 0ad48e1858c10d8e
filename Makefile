# `make demo` runs the whole job on the demo book; `make test` runs every check.
# Each sets up what it needs first, on a fresh machine too.

VENV := .venv
STAMP := $(VENV)/.installed
TEST_STAMP := $(VENV)/.installed-for-tests

.PHONY: demo test check suite bench clean

demo: $(STAMP)
	$(VENV)/bin/lettering demo --out demo/out

# The types are read on one core while the tests begin on all.
test: $(TEST_STAMP)
	$(MAKE) --jobs 2 --no-print-directory check suite

# Files are given out in the order of tests/conftest.py: the longest first, so that all cores end together.
suite: $(TEST_STAMP)
	$(VENV)/bin/python -m pytest -n auto --dist loadfile --no-loadscope-reorder

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
