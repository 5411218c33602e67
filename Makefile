# make run    plans the demo case and prints the plan
# make test   every test, with the race detector: at most 10 minutes on 2 cores
# make long   what takes longer: fuzzing, solver duels, timings (figures in docs/benchmarks.md)

GO ?= go
BIN := bin/backroad
DEMO := internal/cli/demo

.PHONY: run build test vet cover cross long fuzz duels bench clean

run: build
	@$(BIN) plan $(DEMO)/case.yaml --shelf $(DEMO)/shelf.yaml; status=$$?; \
	if [ $$status -gt 1 ]; then exit $$status; fi

build:
	@mkdir -p bin
	$(GO) build -o $(BIN) ./cmd/backroad

test: vet
	$(GO) test -race -timeout 9m ./...
	@$(MAKE) --no-print-directory cover cross

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

long: duels fuzz bench

FUZZTIME ?= 60s
fuzz:
	@sh scripts/fuzz.sh $(FUZZTIME)

duels:
	BACKROAD_LONG=1 $(GO) test -count=1 -timeout 20m ./internal/lumen ./internal/gauss ./internal/rail ./internal/kit ./internal/rehearsal ./internal/plan

bench:
	@sh scripts/bench.sh

clean:
	rm -rf bin
