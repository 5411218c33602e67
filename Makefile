# make run    starts the workbench with a made-up case: open the address that it prints
# make test   every test, with the race detector: at most 10 minutes on 2 cores
# make long   what takes longer: coverage, builds for other systems, fuzzing, solver duels, timings (figures in docs/benchmarks.md)

GO ?= go
NPM ?= npm
BIN := bin/backroad
UI := internal/web/ui

# The accessibility checker that some tests ask for a second opinion.
export BACKROAD_AXE ?= $(CURDIR)/$(UI)/node_modules/axe-core/axe.min.js

.PHONY: run build ui test test-ui vet cover cross long fuzz duels bench clean

run: ui build
	@$(BIN) serve --demo $(ARGS)

build:
	@mkdir -p bin
	$(GO) build -o $(BIN) ./cmd/backroad

# The front end, from its sources and its lock file.
ui: $(UI)/node_modules/.package-lock.json
	@$(GO) run ./internal/tools/uibuild

$(UI)/node_modules/.package-lock.json: $(UI)/package-lock.json
	$(NPM) ci --prefix $(UI) --no-audit --no-fund --ignore-scripts
	@touch $@

test: vet ui test-ui
	$(GO) test -race -timeout 9m ./...

test-ui: ui
	$(NPM) --prefix $(UI) run --silent check
	$(NPM) --prefix $(UI) run --silent test

vet:
	@test -z "$$(gofmt -l cmd internal)" || { echo "not formatted:"; gofmt -l cmd internal; exit 1; }
	$(GO) vet ./...

# Statement coverage of layers 0 to 4 by all tests together, at least 90 %.
cover:
	@$(GO) run ./internal/tools/cover 90

# The program builds without cgo for the three systems.
cross:
	@for os in linux windows darwin; do \
		CGO_ENABLED=0 GOOS=$$os GOARCH=amd64 $(GO) build -o /dev/null ./cmd/backroad || exit 1; echo "builds for $$os"; done

long: cover cross duels fuzz bench

FUZZTIME ?= 60s
fuzz:
	@sh scripts/fuzz.sh $(FUZZTIME)

duels:
	BACKROAD_LONG=1 $(GO) test -count=1 -timeout 20m ./internal/lumen ./internal/gauss ./internal/rail ./internal/kit ./internal/rehearsal ./internal/plan ./internal/store/sqlite

bench:
	@sh scripts/bench.sh

clean:
	rm -rf bin
