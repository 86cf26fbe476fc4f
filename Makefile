# Two commands do everything on a fresh clone: make demo, make test.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
STAMP  := $(VENV)/.installed
PIP    := $(BIN)/python -m pip install --quiet --disable-pip-version-check

# Without compiled modules each of the hundreds of processes that the tests start compiles its own.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: demo test test-all check fuzz faults audit published speed walks mutants sim docs clean

demo: $(STAMP)
	$(BIN)/benchmate demo

# Tests run in two processes, long files not last; what the machine lacks is skipped by name and
# counted.
TESTS := -m pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not fuzz and not published"

test: $(STAMP)
	$(BIN)/python $(TESTS) -rs

# As test, but nothing may be skipped: see DEVELOPERS.md for the packages it needs.
test-all: $(STAMP)
	BENCHMATE_ALL=1 $(BIN)/python $(TESTS)

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

fuzz: $(STAMP)
	$(BIN)/python -m pytest -m fuzz --timeout 3600

# Fault campaigns at full length, an hour on two cores; writes docs/trust.md.
# One alone, shorter: make faults ONLY=death COUNT=200
faults: $(STAMP)
	$(BIN)/python -m tests.faults $(ONLY) $(if $(COUNT),--count $(COUNT))

# The pinned releases against the advisory database.
audit: $(STAMP)
	$(PIP) ".[audit]"
	$(BIN)/python -m tests.pinned --audit

# All published scheduling instances to their known optima; `make test` solves a sample.
published: $(STAMP)
	$(BIN)/python -m pytest tests/reference/test_scheduling.py -m published --durations 5 --timeout 3600

speed: $(STAMP)
	$(BIN)/python -m tests.speed $(ONLY)

# How many of the project's files five calls enter; `--list` names them.
walks: $(STAMP)
	$(BIN)/python -m tests.walks

# A sample of small changes of the code: which of them does no test notice?
mutants: $(STAMP)
	$(BIN)/python -m tests.mutants

sim: $(STAMP)
	$(BIN)/python -m tests.sim
	$(BIN)/python -m tests.sim.landing
	$(BIN)/python -m tests.sim.offers

# Tested releases first; where the registry lacks one (a newer Python), what it has in its place.
$(STAMP): pyproject.toml constraints.txt
	$(PYTHON) -c "import sys; sys.exit(sys.version_info < (3, 11) and 'benchmate needs Python 3.11 or newer; set PYTHON=python3.11 or so')"
	$(PYTHON) -m venv $(VENV)
	$(PIP) -c constraints.txt --editable ".[dev,all]" || { \
	  echo "Not all of constraints.txt can be had here: installing without it."; \
	  $(PIP) --editable ".[dev,all]"; }
	touch $(STAMP)

clean:
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
