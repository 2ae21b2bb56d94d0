/*
 * Runs a fuzz harness where the compiler brings no fuzzer of its own:
 *
 *	fuzz_X [--mutate N SEED] FILE...
 *	fuzz_X --make N SEED
 *
 * Each file goes to the harness as it is; --mutate then hands it N random mutations of the files: bytes changed, put
 * in and taken out, stretches doubled, files crossed.  --make hands it N inputs that the harness makes itself, where it
 * has fuzz_make: such a short input takes less than a microsecond, so that a hundred million are a matter of minutes.
 * One seed gives one series, so that a crash comes again.  When the harness dies or takes longer than TIME_LIMIT_S, the
 * input in hand is written to crash-input.
 */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Puts an input of its own making, drawn from *state, into bytes (FUZZ_MADE_MAX of them); returns its length. */
size_t fuzz_make(uint64_t *state, uint8_t *bytes) __attribute__((weak));
#define FUZZ_MADE_MAX 8192

#define INPUT_MAX (64 * 1024)
#define TIME_LIMIT_S 20

/* Where a sanitizer is linked in, it prints its own report and then calls what it was given here. */
void __sanitizer_set_death_callback(void (*callback)(void)) __attribute__((weak));

struct seed {
	uint8_t *bytes;
	size_t len;
};

/* What the harness works on, for the signal handler. */
static const uint8_t *in_hand;
static size_t in_hand_len;

static void
save_input(void)
{
	int fd;
	ssize_t put;

	if (in_hand == NULL)
		return;
	fd = open("crash-input", O_WRONLY | O_CREAT | O_TRUNC, 0644);
	if (fd < 0)
		return;
	put = write(fd, in_hand, in_hand_len);
	if (close(fd) == 0 && put == (ssize_t)in_hand_len)
		put = write(2, "fuzz: the input is in crash-input\n", 34);
}

static void
on_signal(int sig)
{
	save_input();
	signal(sig, SIG_DFL);
	raise(sig);
}

static void
catch_crashes(void)
{
	signal(SIGABRT, on_signal);
	signal(SIGALRM, on_signal);
	if (__sanitizer_set_death_callback != NULL) {
		__sanitizer_set_death_callback(save_input);
		return;
	}
	signal(SIGSEGV, on_signal);
	signal(SIGBUS, on_signal);
	signal(SIGFPE, on_signal);
	signal(SIGILL, on_signal);
}

/* Runs the harness on a copy of exactly that size, so that reading past the end is seen. */
static void
run(const uint8_t *bytes, size_t len)
{
	uint8_t *copy = malloc(len > 0 ? len : 1);

	if (copy == NULL) {
		perror("fuzz");
		exit(2);
	}
	if (len > 0)
		memcpy(copy, bytes, len);
	in_hand = copy;
	in_hand_len = len;
	alarm(TIME_LIMIT_S);
	(void)LLVMFuzzerTestOneInput(copy, len);
	in_hand = NULL;
	alarm(0);
	free(copy);
}

static int
load(const char *path, struct seed *seed)
{
	FILE *file = fopen(path, "rb");

	seed->bytes = malloc(INPUT_MAX);
	if (file == NULL || seed->bytes == NULL) {
		fprintf(stderr, "fuzz: %s: %s\n", path, strerror(errno));
		if (file != NULL)
			fclose(file);
		return -1;
	}
	seed->len = fread(seed->bytes, 1, INPUT_MAX, file);
	if (ferror(file)) {
		fprintf(stderr, "fuzz: %s: %s\n", path, strerror(errno));
		fclose(file);
		return -1;
	}
	return fclose(file);
}

static uint64_t
next_random(uint64_t *state)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return *state >> 11;
}

/* A state of 0 would make the generator stand still. */
static uint64_t
first_state(long seed)
{
	return ((uint64_t)seed << 20) ^ UINT64_C(0x9e3779b97f4a7c15);
}

static size_t
below(uint64_t *state, size_t limit)
{
	return limit > 0 ? (size_t)(next_random(state) % limit) : 0;
}

/* Bytes that parsers care for. */
static uint8_t
interesting_byte(uint64_t *state)
{
	static const char bytes[] = "0123456789+-.,:;/ \t\r\n\"'|=<>()!&*?TZeEaApPmM_\\";

	switch (below(state, 8)) {
	case 0:
		return (uint8_t)next_random(state);
	case 1:
		return "\0\xff\xfe\xef\xbb\xbf\x80\x7f"[below(state, 8)];
	default:
		return (uint8_t)bytes[below(state, sizeof(bytes) - 1)];
	}
}

/* Takes a stretch of other and puts it over or into bytes. */
static size_t
splice(uint64_t *state, uint8_t *bytes, size_t len, const struct seed *other)
{
	size_t from = below(state, other->len);
	size_t take = below(state, other->len - from + 1);
	size_t at = below(state, len + 1);

	if (len + take > INPUT_MAX)
		return len;
	memmove(bytes + at + take, bytes + at, len - at);
	memcpy(bytes + at, other->bytes + from, take);
	return len + take;
}

/* One random change.  Returns the new length. */
static size_t
mutate(uint64_t *state, uint8_t *bytes, size_t len, const struct seed *other)
{
	size_t at = below(state, len);
	size_t stretch = below(state, len - at) % 32 + 1;

	switch (len > 0 ? below(state, 7) : 0) {
	case 0:		/* put in */
		if (len == INPUT_MAX)
			return len;
		memmove(bytes + at + 1, bytes + at, len - at);
		bytes[at] = interesting_byte(state);
		return len + 1;
	case 1:		/* flip a bit */
		bytes[at] ^= (uint8_t)(1U << below(state, 8));
		return len;
	case 2:		/* take out */
		stretch = stretch < len - at ? stretch : len - at;
		memmove(bytes + at, bytes + at + stretch, len - at - stretch);
		return len - stretch;
	case 3:		/* cut off */
		return at;
	case 4:		/* say twice */
		stretch = stretch < len - at ? stretch : len - at;
		if (len + stretch > INPUT_MAX)
			return len;
		memmove(bytes + at + stretch, bytes + at, len - at);
		return len + stretch;
	case 5:
		return splice(state, bytes, len, other);
	default:
		bytes[at] = interesting_byte(state);
		return len;
	}
}

static void
run_mutations(const struct seed *seeds, size_t count, long runs, uint64_t state)
{
	static uint8_t bytes[INPUT_MAX];
	const struct seed *seed;
	size_t len, changes;

	for (; runs > 0; runs--) {
		seed = &seeds[below(&state, count)];
		len = seed->len;
		memcpy(bytes, seed->bytes, len);
		for (changes = below(&state, 6) + 1; changes > 0; changes--)
			len = mutate(&state, bytes, len, &seeds[below(&state, count)]);
		run(bytes, len);
	}
}

/* Inputs are handed over in place: over a thousand the time limit is one, and nothing is allocated. */
static int
run_made(long runs, uint64_t state)
{
	static uint8_t bytes[FUZZ_MADE_MAX];

	if (fuzz_make == NULL) {
		fputs("fuzz: this harness makes no inputs of its own\n", stderr);
		return 2;
	}
	in_hand = bytes;
	for (long i = 0; i < runs; i++) {
		if (i % 1000 == 0)
			alarm(TIME_LIMIT_S);
		in_hand_len = fuzz_make(&state, bytes);
		(void)LLVMFuzzerTestOneInput(bytes, in_hand_len);
	}
	in_hand = NULL;
	alarm(0);
	printf("%ld inputs made and taken\n", runs);
	return 0;
}

static int
number(const char *text, long *out)
{
	char *end;

	errno = 0;
	*out = strtol(text, &end, 10);
	return errno == 0 && end != text && *end == '\0' && *out >= 0 ? 0 : -1;
}

int
main(int argc, char **argv)
{
	struct seed *seeds;
	long runs = 0, seed = 1;
	size_t count = 0, i;
	int arg = 1;
	int status = 0;

	bool made = argc == 4 && strcmp(argv[1], "--make") == 0;

	if (made || (argc > 3 && strcmp(argv[1], "--mutate") == 0)) {
		if (number(argv[2], &runs) != 0 || number(argv[3], &seed) != 0) {
			made = false;
			arg = argc;
		} else {
			arg = 4;
		}
	}
	if (!made && arg >= argc) {
		fprintf(stderr, "usage: %s [--mutate N SEED] FILE... | --make N SEED\n", argv[0]);
		return 2;
	}
	catch_crashes();
	if (made)
		return run_made(runs, first_state(seed));
	seeds = calloc((size_t)(argc - arg), sizeof(*seeds));
	if (seeds == NULL) {
		perror("fuzz");
		return 2;
	}
	for (; arg < argc && status == 0; arg++) {
		if (load(argv[arg], &seeds[count]) != 0)
			status = 2;
		else
			run(seeds[count].bytes, seeds[count].len);
		count++;
	}
	if (status == 0)
		run_mutations(seeds, count, runs, first_state(seed));
	for (i = 0; i < count; i++)
		free(seeds[i].bytes);
	free(seeds);
	return status;
}
