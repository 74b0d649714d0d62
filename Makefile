# One verb: everything that must hold before a commit leaves this machine.
BIN := .venv/bin

.PHONY: check
check:
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/pytest -n 2
