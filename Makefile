# loomtag. `make demo` and `make test` are each all that a fresh Debian 12 machine with make needs.
#
#   make            the program, at build/loomtag, its     make lint     clang-tidy, cppcheck, format
#                   manual page and completions
#   make demo       a whole job on samples, in build/demo  make format   lays the code out
#   make test       every test                             make install  PREFIX=/usr/local DESTDIR=
#   make bench      times, as ratios within one run        make fuzz     the parsers, for a minute each
#
# VARIANT=release (default), debug, or san (address and undefined-behaviour sanitizers).

VARIANT ?= release
CC ?= cc
PREFIX ?= /usr/local
DESTDIR ?=
FUZZ_SECONDS ?= 60
# The newest entry of the list of changes.
VERSION := $(shell sed -n '1s/.*(\(.*\)).*/\1/p' src/packaging/changelog)

B := build/$(VARIANT)
ROOT := $(CURDIR)

WARN := -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Werror
PKGS := cairo libqrencode yaml-0.1 jansson libpng libjpeg zlib freetype2 fontconfig gnutls sqlite3 \
	zbar
# Asked of pkg-config only when something is built, after deps had its chance to install them.
PKG_CFLAGS = $(shell pkg-config --cflags $(PKGS))
PKG_LIBS = $(shell pkg-config --libs $(PKGS)) -lhpdf -lcups -lm

OPT_release := -O2
OPT_debug := -O0 -g
OPT_san := -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
OPT_fuzz := -O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all
OPT := $(OPT_$(VARIANT))
ifeq ($(OPT),)
$(error VARIANT is release, debug or san, not "$(VARIANT)")
endif

CPPFLAGS_ALL = -Iinclude -Isrc -D_XOPEN_SOURCE=700 -DLT_VERSION='"$(VERSION)"' $(PKG_CFLAGS) $(CPPFLAGS)
# Tests have things of their own to find.
TEST_FLAGS = -Itests -DLT_SOURCE_LAYOUTS='"$(ROOT)/layouts"'
CFLAGS_ALL = -std=c17 $(WARN) $(OPT) $(CFLAGS)
LDFLAGS_ALL = $(OPT) $(LDFLAGS)

SRC := $(sort $(wildcard src/*/*.c))
LIB_SRC := $(filter-out src/cli/main.c src/packaging/generate.c,$(SRC))
LIB_OBJ := $(LIB_SRC:%.c=$(B)/%.o)
UNIT_SRC := $(sort $(wildcard tests/unit/test_*.c))
UNIT_BIN := $(UNIT_SRC:tests/unit/%.c=$(B)/tests/%)
FUZZ_SRC := $(sort $(wildcard tests/fuzz/*.c))
FUZZ_BIN := $(FUZZ_SRC:tests/fuzz/%.c=$(B)/fuzz/%)
BENCH_SRC := $(sort $(wildcard tests/bench/*.c))
BENCH_BIN := $(BENCH_SRC:tests/bench/%.c=$(B)/bench/%)
ALL_C := $(SRC) $(sort $(wildcard include/loomtag/*.h src/*/*.h tests/*/*.c tests/*/*.h))

# What has to be installed, and a file or program of each that shows that it is.
DEBIAN := gcc pkg-config libcairo2-dev libhpdf-dev libqrencode-dev libyaml-dev libjansson-dev \
	libcups2-dev libgnutls28-dev libsqlite3-dev libzbar-dev libpng-dev libjpeg62-turbo-dev zlib1g-dev libfreetype-dev \
	libfontconfig-dev fonts-dejavu-core fonts-dejavu-extra
DEBIAN_TEST := libcmocka-dev poppler-utils qpdf librsvg2-bin zbar-tools netpbm python3 python3-numpy \
	python3-pil file clang libclang-rt-14-dev cups-ipp-utils cups-client cups-daemon \
	avahi-daemon tidy chromium chromium-driver mandoc zsh fish
DEBIAN_LINT := clang clang-format clang-tidy cppcheck

# V=1 shows the commands.
ifeq ($(V),)
Q = @printf '  %-4s %s\n' "$(1)" "$@";
endif

.DELETE_ON_ERROR:
.PHONY: all documents deps deps-test deps-lint demo test unit outside bench fuzz lint format install uninstall clean

all: deps
	@$(MAKE) --no-print-directory build/loomtag documents

deps:
	@sh tests/install-packages.sh $(DEBIAN)
deps-test:
	@sh tests/install-packages.sh $(DEBIAN) $(DEBIAN_TEST)
deps-lint:
	@sh tests/install-packages.sh $(DEBIAN) $(DEBIAN_TEST) $(DEBIAN_LINT)

build/loomtag: $(B)/loomtag
	@cp $< $@.new && mv $@.new $@

# A program in a folder of its variant finds the layouts as build/loomtag does.
$(B)/loomtag: $(B)/src/cli/main.o $(B)/libloomtag.a
	@ln -sfn ../layouts build/layouts
	$(call Q,link)$(CC) $(LDFLAGS_ALL) -o $@ $^ $(PKG_LIBS)

# The manual page and the completions, from templates and the tables of commands and options.
COMPLETIONS := build/completions/loomtag.bash build/completions/loomtag.fish build/completions/loomtag.zsh
documents: build/man/loomtag.1 $(COMPLETIONS)

build/man/%: src/packaging/%.in $(B)/generate
	@mkdir -p $(@D)
	$(call Q,man)$(B)/generate <$< >$@

build/completions/%: src/packaging/%.in $(B)/generate
	@mkdir -p $(@D)
	$(call Q,gen)$(B)/generate <$< >$@

$(B)/generate: $(B)/src/packaging/generate.o $(B)/libloomtag.a
	$(call Q,link)$(CC) $(LDFLAGS_ALL) -o $@ $^ $(PKG_LIBS)

$(B)/libloomtag.a: $(LIB_OBJ)
	@rm -f $@
	$(call Q,ar)ar rcs $@ $^

$(B)/%.o: %.c Makefile
	@mkdir -p $(@D)
	$(call Q,cc)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -MMD -MP -c -o $@ $<

$(B)/tests/%: tests/unit/%.c $(B)/libloomtag.a
	@mkdir -p $(@D)
	$(call Q,cc)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) $(TEST_FLAGS) -MMD -MP $(LDFLAGS_ALL) -o $@ $< $(B)/libloomtag.a $(PKG_LIBS) -lcmocka

$(B)/bench/%: tests/bench/%.c $(B)/libloomtag.a
	@mkdir -p $(@D)
	$(call Q,cc)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) $(TEST_FLAGS) -MMD -MP $(LDFLAGS_ALL) -o $@ $< $(B)/libloomtag.a $(PKG_LIBS)

$(B)/fuzz/%: tests/fuzz/%.c $(B)/libloomtag.a
	@mkdir -p $(@D)
	$(call Q,cc)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -MMD -MP $(LDFLAGS_ALL) -fsanitize=fuzzer -o $@ $< $(B)/libloomtag.a $(PKG_LIBS)

-include $(LIB_OBJ:.o=.d) $(B)/src/cli/main.d $(B)/src/packaging/generate.d $(UNIT_BIN:=.d) $(BENCH_BIN:=.d) $(FUZZ_BIN:=.d)

.PHONY: unit-binaries bench-binaries fuzz-binaries
unit-binaries: $(UNIT_BIN) $(B)/loomtag
bench-binaries: $(BENCH_BIN) $(B)/loomtag
fuzz-binaries: $(FUZZ_BIN)

demo: all
	@sh samples/demo.sh build/loomtag build/demo

# The unit programs are built with the sanitizers; the outside checks run the program that is shipped,
# and where they want it also the one with the sanitizers. Some Pythons lack Debian's modules.
PYTHON := $(firstword $(wildcard /usr/bin/python3) python3)
OUTSIDE := $(sort $(basename $(notdir $(wildcard tests/outside/test_*.py))))

test: deps-test
	@$(MAKE) --no-print-directory VARIANT=san unit-binaries
	@$(MAKE) --no-print-directory build/loomtag documents
	@LOOMTAG_CHECKED=build/san/loomtag $(PYTHON) tests/run.py $(OUTSIDE) $(UNIT_SRC:tests/unit/%.c=build/san/tests/%)

unit: unit-binaries
	@$(PYTHON) tests/run.py $(UNIT_BIN)

outside: build/loomtag documents
	@$(PYTHON) tests/run.py $(OUTSIDE)

bench: deps-test
	@$(MAKE) --no-print-directory bench-binaries
	@sh tests/bench/run.sh $(B)
	@sh tests/bench/growth.sh $(B)
	@sh tests/bench/orders.sh $(B)
	@sh tests/bench/map.sh $(B)

fuzz: deps-test
	@$(MAKE) --no-print-directory VARIANT=fuzz CC=clang fuzz-binaries
	@sh tests/run-fuzz.sh $(FUZZ_SECONDS) build/fuzz samples $(FUZZ_SRC:tests/fuzz/%.c=build/fuzz/fuzz/%)

# make lint FILES="a.c b.h" for some.
FILES ?= $(ALL_C)
lint: export LINT_FLAGS = -std=c17 $(CPPFLAGS_ALL) $(TEST_FLAGS) $(WARN)
lint: deps-lint
	@sh tests/lint.sh $(FILES)

format: deps-lint
	clang-format -i $(ALL_C)

MAN5 := $(wildcard src/packaging/*.5)
MAN7 := $(wildcard src/packaging/*.7)
SHARE = $(DESTDIR)$(PREFIX)/share
BASH_COMPLETION = $(SHARE)/bash-completion/completions/loomtag
ZSH_COMPLETION = $(SHARE)/zsh/site-functions/_loomtag
FISH_COMPLETION = $(SHARE)/fish/vendor_completions.d/loomtag.fish

install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(SHARE)/loomtag/layouts $(SHARE)/man/man1 $(SHARE)/man/man5 \
		$(SHARE)/man/man7
	install -m 755 build/loomtag $(DESTDIR)$(PREFIX)/bin/loomtag
	install -m 644 layouts/*.yaml $(SHARE)/loomtag/layouts/
	install -m 644 build/man/loomtag.1 $(SHARE)/man/man1/
	$(if $(MAN5),install -m 644 $(MAN5) $(SHARE)/man/man5/)
	$(if $(MAN7),install -m 644 $(MAN7) $(SHARE)/man/man7/)
	install -D -m 644 build/completions/loomtag.bash $(BASH_COMPLETION)
	install -D -m 644 build/completions/loomtag.zsh $(ZSH_COMPLETION)
	install -D -m 644 build/completions/loomtag.fish $(FISH_COMPLETION)

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/loomtag $(SHARE)/man/man1/loomtag.1 \
		$(MAN5:src/packaging/%=$(SHARE)/man/man5/%) $(MAN7:src/packaging/%=$(SHARE)/man/man7/%) \
		$(BASH_COMPLETION) $(ZSH_COMPLETION) $(FISH_COMPLETION)
	rm -f $(patsubst layouts/%,$(SHARE)/loomtag/layouts/%,$(wildcard layouts/*.yaml))
	@rmdir --ignore-fail-on-non-empty $(SHARE)/loomtag/layouts $(SHARE)/loomtag

clean:
	rm -rf build
