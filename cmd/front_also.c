/*
 * Selections: their options and times, and those that go to files of their own.
 */
#include "front_also.h"

#include <errno.h>
#include <stdlib.h>

#include "front_archive.h"
#include "front_tables.h"

static void
set_quality(struct leat_select *s)
{
	struct leat_span rest = leat_span_of(optarg), word;

	s->quality = 0;
	while (leat_span_next(&rest, ',', &word)) {
		int quality = leat_quality_find(word);

		if (quality < 0)
			front_misuse("option '--quality': not a list of good, uncertain and bad: '%s'", optarg);
		s->quality |= 1u << quality;
	}
}

bool
front_asked_option(int code, int argc, struct front_asked *a)
{
	switch (code) {
	case FRONT_ASKED_ASSET:
		front_glob(&a->select.asset, &a->select.assets, argc);
		return true;
	case FRONT_ASKED_FROM:
		a->select.from = front_time("--from", optarg);
		return true;
	case FRONT_ASKED_LAST:
		a->last = optarg;
		if (leat_duration_parse(leat_span_of(optarg), &a->back) != 0)
			front_misuse("option '--last': not a duration such as P400D: '%s'", optarg);
		return true;
	case FRONT_ASKED_NUMERIC:
		a->select.numeric = true;
		return true;
	case FRONT_ASKED_POINT:
		front_glob(&a->select.point, &a->select.points, argc);
		return true;
	case FRONT_ASKED_QUALITY:
		set_quality(&a->select);
		return true;
	case FRONT_ASKED_THIN:
		a->thin = optarg;
		if (leat_grid_length(&a->grid, leat_span_of(optarg)) != 0)
			front_misuse("option '--thin': not a period such as PT10M, PT1H, P1D, P7D or P1M: '%s'", optarg);
		return true;
	case FRONT_ASKED_TO:
		a->select.to = front_time("--to", optarg);
		return true;
	default:
		return false;
	}
}

struct front_asked *
front_asked(struct front_selections *of, size_t i)
{
	return i == 0 ? &of->first : &of->also[i - 1].asked;
}

/* The times of one.  Gives the last instant that is asked for, LEAT_TIME_NONE: open. */
static struct leat_time
settle_times(struct front_asked *a, struct leat_time end)
{
	struct leat_select *s = &a->select;
	struct leat_time last;

	if (!front_opt.now_data)
		s->now = end;
	if (a->last != NULL && !leat_time_is_none(end))
		s->from = leat_time_shift(end, &a->back, -1);
	/* The last instant before --to. */
	last = leat_time_is_none(s->to) ? s->now : s->to.nsec > 0 ? (struct leat_time){ s->to.sec, s->to.nsec - 1 } :
	    (struct leat_time){ s->to.sec - 1, 999999999 };
	return !leat_time_is_none(s->now) && leat_time_cmp(s->now, last) < 0 ? s->now : last;
}

void
front_asked_times(struct front_selections *of, struct leat_time end, struct leat_time *first, struct leat_time *last)
{
	for (size_t i = 0; i <= of->alsos; i++) {
		struct leat_time to = settle_times(front_asked(of, i), end), from = front_asked(of, i)->select.from;

		/* LEAT_TIME_NONE is earlier than all. */
		if (i == 0 || leat_time_cmp(from, *first) < 0)
			*first = from;
		if (i == 0 || leat_time_is_none(to) || (!leat_time_is_none(*last) && leat_time_cmp(to, *last) > 0))
			*last = to;
	}
}

struct leat_nameplate *
front_asked_days(struct front_selections *of)
{
	struct leat_nameplate *np = NULL;
	struct leat_grid days = { .zone = NULL };

	for (size_t i = 0; i <= of->alsos; i++) {
		struct front_asked *a = front_asked(of, i);

		if (a->thin == NULL)
			continue;
		if (np == NULL)
			np = front_works_days(&days);
		a->grid.zone = days.zone;
		a->grid.day_start = days.day_start;
	}
	return np;
}

void
front_also_add(struct front_selections *of)
{
	if (of->alsos == FRONT_ALSO_MAX)
		front_misuse("option '--also': more than %d of them", FRONT_ALSO_MAX);
	of->also[of->alsos++] = (struct front_also){ .asked = FRONT_ASKED_ALL, .path = optarg };
}

void
front_also_open(struct front_also *also)
{
	also->file = fopen(also->path, "w");
	if (also->file == NULL) {
		front_fail("cannot write '%s': %s", also->path, strerror(errno));
		exit(FRONT_FAILED);
	}
	also->out = malloc(sizeof(*also->out));
	if (also->out == NULL || (also->asked.thin != NULL && (also->thin = leat_thin_new(&also->asked.grid)) == NULL))
		front_misuse("out of memory");
	leat_out_init(also->out, also->file);
}

void
front_also_renew(struct front_also *also, const struct leat_readings *in)
{
	if (!also->headed)
		leat_readings_write_header(also->out, in);
	also->headed = true;
	leat_select_renew(&also->asked.select);
	if (also->thin != NULL)
		leat_thin_renew(also->thin);
}

int
front_also_take(struct front_also *also, const struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err)
{
	int taken = leat_select_takes(&also->asked.select, r);

	if (taken < 0)
		return leat_error_memory(err);
	if (taken == 0)
		return !leat_select_never(&also->asked.select);
	if (also->thin == NULL)
		leat_readings_copy(also->out, in, r);
	else if (leat_thin_take(also->thin, in, r, also->out) != 0)
		return leat_error_memory(err);
	return 1;
}

void
front_also_end(struct front_also *also)
{
	int errnum = 0;

	if (!also->headed)
		leat_readings_write_header(also->out, NULL);
	if (also->thin != NULL && leat_thin_end(also->thin, also->out) != 0)
		front_fail("out of memory");
	if (leat_out_flush(also->out) != 0)
		errnum = also->out->errnum;
	if (fclose(also->file) != 0 && errnum == 0)
		errnum = errno;
	if (errnum != 0)
		front_fail("cannot write '%s': %s", also->path, strerror(errnum));
	front_summary("%s: %lld rows taken", also->path, also->asked.select.taken);
	leat_thin_free(also->thin);
	leat_select_free(&also->asked.select);
	free(also->asked.select.asset);
	free(also->asked.select.point);
	free(also->out);
}
