# make check is what CI runs. make help lists the rest.

GO    ?= go
TOOLS := $(CURDIR)/.tools

# The tools have module graphs of their own, so that what they need does not become what the program needs.
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
GOVULNCHECK := golang.org/x/vuln/cmd/govulncheck@v1.9.0

.PHONY: help build check fmt vet lint arch types goldens test vuln fuzz clean

help: ## lists the targets
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed 's/:.*##/:/' | column -t -s:

build: ## builds ./quiltwright
	$(GO) build -trimpath -o quiltwright ./cmd/quiltwright

check: fmt vet lint arch types goldens test vuln ## everything that must hold
	@echo "check: all of it holds"

fmt: ## no file that gofmt would change
	@list=$$(gofmt -l $$(git ls-files '*.go')); if [ -n "$$list" ]; then echo "gofmt would change:"; echo "$$list"; exit 1; fi

vet: ## go vet
	$(GO) vet ./...

lint: ## staticcheck
	$(GO) run $(STATICCHECK) ./...

arch: ## imports between packages, as docs/architecture.md has them
	$(GO) test -count=1 ./internal/archtest

types: ## the types in the modules of the app
	npx --yes --package typescript@7.0.2 tsc --noEmit -p internal/app

# Tests that keep expected files take -update; here it must change nothing.
goldens: ## expected files are what comes out
	@before=$$(mktemp); after=$$(mktemp); trap 'rm -f "$$before" "$$after"' EXIT; \
	state() { git ls-files -co --exclude-standard -- ':!*.go' | sort | while IFS= read -r f; do cksum "$$f"; done; }; \
	state > "$$before"; \
	$(GO) test -count=1 $$(git grep -l 'flag.Bool("update"' -- '*_test.go' | xargs -n1 dirname | sort -u | sed 's|^|./|') -update && \
	state > "$$after" && diff "$$before" "$$after" || { echo "goldens: these files are not what comes out now"; exit 1; }

# With the race detector the cutting solver lays a part of its lists and limits of time are wider, so the packages where
# that matters are tested without it, too. The tests in a browser are demanded.
test: export QUILTWRIGHT_BROWSER = 1
test: ## all tests, with the race detector
	$(GO) test -race -timeout 20m ./...
	$(GO) test ./internal/guillotine ./internal/piecing ./internal/plane ./internal/prove

# The list of known faults is on the network; where it cannot be reached, that is said and nothing is refused.
vuln: ## known faults in what is used
	@GOBIN=$(TOOLS) $(GO) install $(GOVULNCHECK) && \
	out=$$($(TOOLS)/govulncheck ./... 2>&1); code=$$?; echo "$$out"; \
	if [ $$code -eq 0 ]; then exit 0; fi; \
	case "$$out" in *"dial tcp"*|*"fetching vulnerabilities"*|*"no such host"*|*"HTTP GET"*) \
	echo "vuln: the list of faults could not be fetched; not checked";; *) exit $$code;; esac

fuzz: ## a minute of fuzzing of everything that reads
	@git grep -o '^func Fuzz[A-Za-z]*' -- '*_test.go' | sed 's|^\(.*\)/[^/]*:func \(.*\)|\1 \2|' | while read -r dir name; do \
	echo "$$dir $$name"; $(GO) test -run '^$$' -fuzz "^$$name$$" -fuzztime 60s "./$$dir" || exit 1; done

clean: ## takes away what was built
	rm -rf quiltwright $(TOOLS)
