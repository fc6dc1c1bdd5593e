# Two commands do all the set-up on a fresh Debian machine with Go:
#   make demo   build, run the whole job on an invented district, say where to look
#   make test   run every test
GO ?= go
BUILD := build

.PHONY: all setup build demo test check bench clean

all: build

# What the program and its tests need from Debian; nothing is installed twice.
setup:
	@.ci/setup

build: setup
	@mkdir -p $(BUILD)
	$(GO) build -o $(BUILD)/tussock ./cmd/tussock

demo: build
	$(GO) run ./cmd/averholt $(BUILD)/averholt
	@.ci/demo $(BUILD)/tussock $(BUILD)/averholt

test: setup
	$(GO) vet ./...
	@test -z "$$(gofmt -l cmd layers suitability tiles)" || { gofmt -l cmd layers suitability tiles; echo "hint: gofmt -w those files"; exit 1; }
	$(GO) test ./...

check: test
	@.ci/check

bench: build
	@.ci/bench $(BUILD)/tussock

clean:
	rm -rf $(BUILD) out
