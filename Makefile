# make demo   installs speccomp into .venv, checks, compiles and releases specs_demo/, says where
# make test   installs what the tests need, then lint, types and all tests

VENV   := .venv
PYTHON ?= python3
BIN    := $(VENV)/bin
OUT    ?= out
# Only what went wrong is of interest: no progress, no warnings, no advice about pip itself.
PIP    := $(BIN)/pip install -qq --disable-pip-version-check

# Whether the PDF renderer finds the Pango library of the system.
HAS_PDF := $(BIN)/python -c 'import weasyprint' 2>/dev/null

.PHONY: demo releases test lint types pytest pango clean

demo: $(VENV)/installed pango
	$(BIN)/speccomp check specs_demo/definitions/*.yaml
	$(BIN)/speccomp compile --out $(OUT) specs_demo/definitions/*.yaml || ! $(HAS_PDF)
	@echo
	@echo "What wrong definitions look like (they are wrong on purpose):"
	@$(BIN)/speccomp check specs_demo/wrong/*.yaml || [ $$? -le 2 ]
	@echo
	@if $(HAS_PDF); then $(MAKE) --no-print-directory releases; \
	else echo "Releases are PDF files too; they are left out until Pango is installed."; fi
	@echo
	@echo "The documents are in $(OUT)/<number>/<revision>/: open work-instruction.html or .pdf."

releases: $(VENV)/installed
	@echo "Three documents, released revision by revision:"
	rm -rf $(OUT)/archive $(OUT)/register
	sh specs_demo/release-all.sh $(BIN)/speccomp $(OUT)/archive
	$(BIN)/speccomp register --archive $(OUT)/archive
	$(BIN)/speccomp register --archive $(OUT)/archive --site $(OUT)/register
	$(BIN)/speccomp verify --archive $(OUT)/archive
	@echo "The register is $(OUT)/register/index.html."

test: lint types pytest

lint: $(VENV)/installed-dev
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

types: $(VENV)/installed-dev
	$(BIN)/mypy

pytest: $(VENV)/installed-dev pango
	$(BIN)/pytest -n auto

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "speccomp needs Python 3.11 or newer")'
	@echo "Making $(VENV) and installing into it; this takes a minute or two."
	@$(PYTHON) -m venv $(VENV)

$(VENV)/installed: pyproject.toml | $(VENV)/bin/python
	@$(PIP) --editable .
	@touch $@

$(VENV)/installed-dev: pyproject.toml | $(VENV)/bin/python
	@$(PIP) --editable '.[dev]'
	@touch $@ $(VENV)/installed

# The PDF renderer needs the Pango text layout library of the system.
pango: | $(VENV)/bin/python
	@$(HAS_PDF) || sh .ci/install-system-packages pango \
	  || echo "PDF files cannot be made until Pango is installed; HTML, CSV and XLSX are."

clean:
	rm -rf $(VENV) $(OUT) .mypy_cache .pytest_cache .ruff_cache .hypothesis build dist
