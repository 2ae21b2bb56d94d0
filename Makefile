# leat: see README.md for what it is, DEVELOPERS.md for how it is made.
#
# make            the commands, in build/bin (a C11 compiler, libcsv and zlib)
# make demo       the nightly job on the demo works; installs missing Debian packages first when it can
# make check      all tests; likewise
# make check-san  the tests under the address and undefined-behaviour sanitizers
# make lint       rules of the house
# make bench      speed beside general tools, in one run
# make fuzz-smoke every fuzz harness over its corpus and some mutations
# make install | uninstall | dist | distcheck | clean

VERSION = 0.1.0
PREFIX ?= /usr/local
DESTDIR ?=
BUILD ?= build

CC ?= cc
CFLAGS ?= -O2 -g
WARNINGS = -Wall -Wextra -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Wpointer-arith -Wwrite-strings -Wvla
HARDEN ?= -D_FORTIFY_SOURCE=2 -fstack-protector-strong -fPIE
HARDEN_LD ?= -pie -Wl,-z,relro,-z,now
WERROR ?=
SANITIZE ?=

# make V=1 shows whole commands.
V ?= 0
quiet = $(if $(filter 0,$(V)),@echo "  $(1) $@";)

cppflags = -D_POSIX_C_SOURCE=200809L -DLEAT_VERSION='"$(VERSION)"' -Ilib -Icmd $(CPPFLAGS)
cflags = -std=c11 -pthread $(WARNINGS) $(WERROR) $(HARDEN) $(SANITIZE) $(CFLAGS)
ldflags = -pthread $(HARDEN_LD) $(SANITIZE) $(LDFLAGS)
libs = -lcsv -lz -lm

lib_src := $(sort $(wildcard lib/*/*.c))
lib_obj := $(lib_src:%.c=$(BUILD)/%.o)
front_src := $(sort $(wildcard cmd/front*.c))
front_obj := $(front_src:%.c=$(BUILD)/%.o)
commands := $(sort $(patsubst cmd/%.c,%,$(wildcard cmd/leat-*.c)))
unit_tests := $(sort $(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/unit/test_*.c tests/published/test_*.c)))
# Small programs that test scripts run: everything else in these folders that has a main.
test_tools := $(sort $(patsubst tests/%.c,$(BUILD)/tests/%,\
	$(filter-out $(wildcard tests/published/test_*.c) tests/suite/inject.c,$(wildcard tests/published/*.c tests/suite/*.c tests/bench/*.c))))
# Preloaded by scripts that kill a command at each system call, or make one fail.
inject := $(BUILD)/tests/suite/inject.so
fuzzers := $(sort $(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/fuzz/fuzz_*.c)))
sim_src := $(sort $(wildcard tests/sim/*.c))
sim_obj := $(sim_src:%.c=$(BUILD)/%.o)
sim := $(if $(sim_src),$(BUILD)/tests/sim/simulate)

all: $(commands:%=$(BUILD)/bin/%)

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(call quiet,CC)$(CC) $(cppflags) -Itests/unit $(cflags) -MMD -MP -c -o $@ $<

$(BUILD)/libleat.a: $(lib_obj)
	@rm -f $@
	$(call quiet,AR)$(AR) rcs $@ $(lib_obj)

$(BUILD)/bin/leat-%: $(BUILD)/cmd/leat-%.o $(front_obj) $(BUILD)/libleat.a
	@mkdir -p $(@D)
	$(call quiet,LD)$(CC) $(ldflags) -o $@ $< $(front_obj) $(BUILD)/libleat.a $(libs)

$(unit_tests) : $(BUILD)/tests/% : $(BUILD)/tests/%.o $(BUILD)/libleat.a
	$(call quiet,LD)$(CC) $(ldflags) -o $@ $< $(BUILD)/libleat.a -lcmocka $(libs)

$(test_tools) : $(BUILD)/tests/% : $(BUILD)/tests/%.o $(BUILD)/libleat.a
	$(call quiet,LD)$(CC) $(ldflags) -o $@ $< $(BUILD)/libleat.a $(libs)

$(fuzzers) : $(BUILD)/tests/% : $(BUILD)/tests/%.o $(BUILD)/tests/fuzz/standalone.o $(BUILD)/libleat.a
	$(call quiet,LD)$(CC) $(ldflags) -o $@ $< $(BUILD)/tests/fuzz/standalone.o $(BUILD)/libleat.a $(libs)

$(inject): tests/suite/inject.c
	@mkdir -p $(@D)
	$(CC) -std=c11 -D_GNU_SOURCE $(WARNINGS) $(CFLAGS) -fPIC -shared -o $@ $< -ldl

# The simulator links nothing of lib/: tests against it would be circular.
$(BUILD)/tests/sim/simulate: $(sim_obj)
	$(call quiet,LD)$(CC) $(ldflags) -o $@ $(sim_obj) -lm

.PRECIOUS: $(BUILD)/%.o
.SECONDARY:

tests: all $(unit_tests) $(test_tools) $(inject) $(fuzzers) $(sim)

demo:
	@sh tests/packages.sh build
	@$(MAKE) --no-print-directory -s all $(sim)
	@BUILD=$(BUILD) sh tests/demo.sh

check:
	@sh tests/packages.sh check
	@$(MAKE) --no-print-directory check-only

check-only: tests
	@BUILD=$(BUILD) SANITIZED=$(SANITIZED) sh tests/run.sh

SAN = -fsanitize=address,undefined -fno-sanitize-recover=undefined -fno-omit-frame-pointer
check-san:
	@sh tests/packages.sh check
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/san SANITIZE="$(SAN)" HARDEN= HARDEN_LD= check-only SANITIZED=1

fuzz-smoke: $(fuzzers)
	@BUILD=$(BUILD) sh tests/fuzz/run.sh

lint:
	@sh tests/packages.sh lint
	@BUILD=$(BUILD) CC="$(CC)" sh tests/lint.sh

bench:
	@sh tests/packages.sh bench
	@$(MAKE) --no-print-directory -s tests
	@BUILD=$(BUILD) sh tests/bench/run.sh
	@BUILD=$(BUILD) sh tests/bench/grow.sh

man_dir = $(DESTDIR)$(PREFIX)/share/man
doc_dir = $(DESTDIR)$(PREFIX)/share/doc/leat
man_pages := $(sort $(wildcard man/*.[157]))
docs := $(sort $(wildcard docs/*))

install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(man_dir)/man1 $(man_dir)/man5 $(man_dir)/man7 $(doc_dir)
	install -m 755 $(commands:%=$(BUILD)/bin/%) $(DESTDIR)$(PREFIX)/bin
	for f in $(man_pages); do install -m 644 $$f $(man_dir)/man$${f##*.}/ || exit 1; done
	install -m 644 $(docs) README.md $(doc_dir)

uninstall:
	rm -f $(commands:%=$(DESTDIR)$(PREFIX)/bin/%)
	for f in $(man_pages); do rm -f $(man_dir)/man$${f##*.}/$${f#man/}; done
	rm -rf $(doc_dir)

dist:
	@mkdir -p $(BUILD)
	git archive --format=tar --prefix=leat-$(VERSION)/ HEAD | gzip -n9 >$(BUILD)/leat-$(VERSION).tar.gz

distcheck: dist
	rm -rf $(BUILD)/leat-$(VERSION)
	cd $(BUILD) && gzip -dc leat-$(VERSION).tar.gz | tar xf - && $(MAKE) -C leat-$(VERSION) BUILD=build check
	rm -rf $(BUILD)/leat-$(VERSION)

clean:
	rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)

.PHONY: all tests demo check check-only check-san fuzz-smoke lint bench install uninstall dist distcheck clean
