/*
 * TZif: the compiled zone data of the system (RFC 8536; RFC 9636 for version 4).
 *
 * The bytes may come from anywhere: every count is checked against the bytes that are there before anything is read.
 */
#include "base/zone_private.h"

#define HEADER_LEN 44

/* What a header says of the block that follows it. */
struct block {
	char version;
	uint32_t utc_count, standard_count, leap_count, time_count, type_count, char_count;
};

static uint32_t
read_u32(const char *p)
{
	const unsigned char *b = (const unsigned char *)p;

	return (uint32_t)b[0] << 24 | (uint32_t)b[1] << 16 | (uint32_t)b[2] << 8 | b[3];
}

/* A two's complement number of 4 or 8 bytes. */
static int64_t
read_signed(const char *p, size_t width)
{
	uint32_t high = read_u32(p);
	uint64_t value = high;

	if (width == 8)
		value = value << 32 | read_u32(p + 4);
	else if (high & 0x80000000U)
		value |= UINT64_C(0xffffffff00000000);
	return value & UINT64_C(0x8000000000000000) ? -(int64_t)(~value) - 1 : (int64_t)value;
}

static int
read_header(struct leat_span bytes, struct block *b)
{
	const char *p = bytes.ptr;

	if (bytes.len < HEADER_LEN || memcmp(p, "TZif", 4) != 0)
		return -1;
	b->version = p[4];
	b->utc_count = read_u32(p + 20);
	b->standard_count = read_u32(p + 24);
	b->leap_count = read_u32(p + 28);
	b->time_count = read_u32(p + 32);
	b->type_count = read_u32(p + 36);
	b->char_count = read_u32(p + 40);
	return 0;
}

/* Bytes of the block behind its header, when times have that width.  64 bits hold any sum of 32-bit counts. */
static uint64_t
block_len(const struct block *b, size_t width)
{
	return (uint64_t)b->time_count * (width + 1) + (uint64_t)b->type_count * 6 + b->char_count +
	    (uint64_t)b->leap_count * (width + 4) + b->standard_count + b->utc_count;
}

/* Reads the changes of one block, whose length has been checked; *last is the instant of the last one,
 * LEAT_ZONE_ALWAYS when there is none.  0, or -1 when it contradicts itself. */
static int
read_changes(struct leat_zone *zone, const char *p, const struct block *b, size_t width, int64_t *last)
{
	const char *which = p + (size_t)b->time_count * width;
	const char *types = which + b->time_count;
	int64_t at, east;
	uint32_t i;

	*last = LEAT_ZONE_ALWAYS;
	for (i = 0; i < b->type_count; i++) {
		east = read_signed(types + (size_t)i * 6, 4);
		if (east < LEAT_ZONE_EAST_MIN || east > LEAT_ZONE_EAST_MAX)
			return -1;
	}
	zone->before = (int32_t)read_signed(types, 4);
	for (i = 0; i < b->time_count; i++) {
		at = read_signed(p + (size_t)i * width, width);
		if ((i > 0 && at <= *last) || (unsigned char)which[i] >= b->type_count)
			return -1;
		*last = at;
		east = read_signed(types + (size_t)(unsigned char)which[i] * 6, 4);
		/* Some compilers of zone data put the first change before all time. */
		if (at < LEAT_ZONE_SEC_MIN)
			zone->before = (int32_t)east;
		else if (at <= LEAT_ZONE_SEC_MAX)
			leat_zone_append(zone, at, (int32_t)east);
	}
	return 0;
}

/* Takes the rule between two line feeds behind the last block.  0 or -1. */
static int
read_footer(struct leat_span rest, struct leat_span *text)
{
	size_t len;

	if (rest.len < 2 || rest.ptr[0] != '\n')
		return -1;
	for (len = 1; len < rest.len && rest.ptr[len] != '\n'; len++)
		;
	if (len == rest.len)
		return -1;
	*text = leat_span_make(rest.ptr + 1, len - 1);
	return 0;
}

/* Finds the block to read: the only one of version 1, else the second with its times of 8 bytes.  On return *bytes
 * begins behind the block's header.  0 or -1. */
static int
find_block(struct leat_span *bytes, struct block *b, size_t *width)
{
	uint64_t skip;

	*width = 4;
	if (read_header(*bytes, b) != 0)
		return -1;
	if (b->version != '\0') {
		skip = HEADER_LEN + block_len(b, 4);
		if (skip > bytes->len)
			return -1;
		*bytes = leat_span_make(bytes->ptr + skip, bytes->len - (size_t)skip);
		*width = 8;
		if (read_header(*bytes, b) != 0 || b->version < '2')
			return -1;
	}
	*bytes = leat_span_make(bytes->ptr + HEADER_LEN, bytes->len - HEADER_LEN);
	return block_len(b, *width) <= bytes->len ? 0 : -1;
}

int
leat_zone_file_read(struct leat_zone *zone, struct leat_span bytes, struct leat_error *err)
{
	struct leat_zone_rule rule;
	struct leat_span footer;
	struct block b;
	int64_t last;
	size_t width, len;

	if (find_block(&bytes, &b, &width) != 0 || b.type_count < 1 || b.type_count > 256)
		return leat_error_set(err, "the zone data are damaged, or no zone data");
	if (b.leap_count != 0)
		return leat_error_set(err, "this zone counts leap seconds, as no time here does: take the plain one");
	if (leat_zone_reserve(zone, b.time_count + LEAT_ZONE_RULE_CHANGES) != 0)
		return leat_error_memory(err);
	if (read_changes(zone, bytes.ptr, &b, width, &last) != 0)
		return leat_error_set(err, "the zone data contradict themselves");
	if (width == 4)
		return 0;
	len = (size_t)block_len(&b, width);
	if (read_footer(leat_span_make(bytes.ptr + len, bytes.len - len), &footer) != 0)
		return leat_error_set(err, "the zone data end too soon");
	/* Where the table runs past the last year that counts here, the rule never comes into force. */
	if (footer.len == 0 || last > LEAT_ZONE_SEC_MAX)
		return 0;
	if (leat_zone_rule_parse(footer, &rule) != 0)
		return leat_error_set(err, "the zone data end in a rule that cannot be read");
	leat_zone_rule_apply(zone, &rule, last < LEAT_ZONE_SEC_MIN ? LEAT_ZONE_ALWAYS : last);
	return 0;
}
