# make site    set up everything and build the site with its sheets, into site/
# make test    set up everything and run all tests
# make audit   the tests that take long: every number in the data file moved; the site seen from outside, in Firefox and WebKit too
# make mutants  change one thing in our code at a time, three hundred times, and see what the tests notice: hours; it goes on where it stopped
# make serve   build, then show the site at http://127.0.0.1:8000 (PORT=8001 for another)
# make bench   how fast it is, as ratios within one run
# make release  the site as a zip, the calculators as a wheel, and their hashes, into .build/release/
# make lock    pin the newest allowed versions of all packages
# make clean   remove the site and scratch files; `make spotless` removes the installed packages too

PYTHON ?= python3
PORT ?= 8000
OURS := .venv/bin/python
COMPILE = .build/uv/bin/uv pip compile --quiet --upgrade --universal --python-version 3.13 --generate-hashes \
	--no-emit-index-url --custom-compile-command "make lock"

# The same bytes on every machine: one day, time zone, language and hash seed for all steps.
# An unpacked archive has no commits; its files bear the commit's time.
export SOURCE_DATE_EPOCH := $(or $(SOURCE_DATE_EPOCH),$(shell git log -1 --format=%ct 2>/dev/null || date -r requirements.txt +%s))
export TZ := UTC
export LC_ALL := C.UTF-8
export PYTHONHASHSEED := 0

.PHONY: site test audit mutants serve bench release lock ready clean spotless help

site: ready
	@$(OURS) -m tools.build

test: site
	@$(PYTHON) -m tools.ready chromium scripts
	@$(OURS) -m ruff check
	@$(OURS) -m mypy
	@$(OURS) -m pytest -n 2 --dist worksteal

audit: site
	@$(PYTHON) -m tools.ready chromium firefox webkit nginx outside
	@$(OURS) -m pytest -m audit -n 2 --dist loadfile --no-loadscope-reorder -rP --durations=20

mutants: site
	@$(PYTHON) -m tools.ready chromium
	@$(OURS) -m tools.mutants

serve: site
	@echo "http://127.0.0.1:$(PORT) shows site/ until Ctrl-C"
	@$(OURS) -m http.server --bind 127.0.0.1 --directory site $(PORT)

bench: site
	@$(PYTHON) -m tools.ready chromium
	@$(OURS) -m tests.bench

release: site
	@$(OURS) -m tools.release

ready:
	@$(PYTHON) -m tools.ready

lock:
	$(PYTHON) -m venv --clear .build/uv
	.build/uv/bin/pip install -qq uv==0.13.9
	$(COMPILE) --only-binary :all: requirements.in -o requirements.txt
	$(COMPILE) --no-deps tests/reference/requirements.in -o tests/reference/requirements.txt
	$(COMPILE) --only-binary :all: --constraint requirements.txt tests/outside/requirements.in -o tests/outside/requirements.txt
	PATH="$(CURDIR)/.venv/bin:$$PATH" npm install --package-lock-only
	PATH="$(CURDIR)/.venv/bin:$$PATH" npm install --package-lock-only --prefix tests/outside
	PATH="$(CURDIR)/.venv/bin:$$PATH" npm install --package-lock-only --prefix tests/scripts

clean:
	rm -rf site .build .hypothesis

spotless: clean
	rm -rf .venv node_modules tests/outside/node_modules tests/scripts/node_modules

help:
	@sed -n 's/^# \(make .*\)/\1/p' Makefile
