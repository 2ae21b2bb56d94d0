/*
 * The historian: a value is kept when it has moved by more than a deadband or after ten minutes.  NM and SM hand out a
 * column for each signal and a row for each minute with the value that is held; MM what was kept, with its quality.
 */
#include <math.h>

#include "files.h"
#include "history.h"

#define HOLD_S 600
#define BAD_SHARE 0.004

static char *
put_stamp(char *to, int form, const struct sim_clock *c)
{
	if (form == NM) {
		to = put_whole(to, c->year, 4); *to++ = '-';
		to = put_whole(to, c->month, 2); *to++ = '-';
		to = put_whole(to, c->day, 2); *to++ = ' ';
		to = put_whole(to, c->hour, 2);
	} else if (form == SM) {
		to = put_whole(to, c->day, 2); *to++ = '.';
		to = put_whole(to, c->month, 2); *to++ = '.';
		to = put_whole(to, c->year, 4); *to++ = ';';
		to = put_whole(to, c->hour, 2);
	} else {
		to = put_whole(to, c->month, 1); *to++ = '/';
		to = put_whole(to, c->day, 1); *to++ = '/';
		to = put_whole(to, c->year, 4); *to++ = ' ';
		to = put_whole(to, c->hour % 12 == 0 ? 12 : c->hour % 12, 1);
	}
	*to++ = ':';
	to = put_whole(to, c->minute, 2); *to++ = ':';
	to = put_whole(to, c->second, 2);
	return form == MM ? put_text(to, c->hour < 12 ? " AM" : " PM") : to;
}

static void
header(const struct history *h, FILE *file)
{
	if (h->number == MM)
		fputs("TagName,DateTime,Value,QualityText\r\n", file);
	else {
		fputs(h->number == NM ? "\357\273\277Historian export\r\nInterval,60 s\r\nTimestamp" : "Datum;Uhrzeit", file);
		for (int i = 0; i < W_SIGNALS; i++)
			fprintf(file, "%c%s.%s", h->number == NM ? ',' : ';', h->mill->name, works_columns[i].name);
		fputs(h->number == NM ? "\r\n" : "\n", file);
	}
	if (h->number == SM) {
		fputc(';', file);
		for (int i = 0; i < W_SIGNALS; i++)
			fprintf(file, ";%s", works_columns[i].unit);
		fputc('\n', file);
	}
}

static bool
same_day(const struct history *h, const struct sim_clock *c)
{
	struct sim_clock twice = sim_local(h->works->faults.doubled_export);

	return c->day == twice.day && c->month == twice.month && c->year == twice.year;
}

/* A day of SM comes once more, in a file of its own. */
static void
open_again(struct history *h, const struct sim_clock *c)
{
	char name[64];

	if (h->number != SM || h->again != NULL || !same_day(h, c))
		return;
	snprintf(name, sizeof(name), "%s_%04d-%02d-%02d_again.csv", h->mill->name, c->year, c->month, c->day);
	h->again = file_create(h->folder, name);
	header(h, h->again);
}

static void
close_page(struct history *h)
{
	if (h->file == NULL)
		return;
	file_finish(h->file);
	file_finish(h->events);
	h->file = h->events = NULL;
}

/* Opens the files of this local month or day. */
static void
turn_page(struct history *h, const struct sim_clock *c)
{
	int page = h->daily ? c->month * 100 + c->day : c->month;
	char when[32], name[64];

	if (h->file != NULL && page == h->file_is)
		return;
	close_page(h);
	snprintf(when, sizeof(when), h->daily ? "%04d-%02d-%02d" : "%04d-%02d", c->year, c->month, c->day);
	snprintf(name, sizeof(name), "%s_%s.csv", h->mill->name, when);
	h->file = file_create(h->folder, name);
	snprintf(name, sizeof(name), "charging_%s_%s.csv", h->mill->name, when);
	h->events = file_create(h->folder, name);
	h->file_is = page;
	for (int i = 0; i < W_SIGNALS; i++)
		h->due[i] = true;
	header(h, h->file);
	fputs("Time,Tag,Value\n", h->events);
}

void
history_start(struct history *h, const struct works *w, int mill, const char *folder, bool daily)
{
	*h = (struct history){ .works = w, .mill = &w->mill[mill], .folder = folder, .number = mill, .daily = daily };
	h->random.state = w->seed * 77 + 5000 + (uint64_t)mill;
	for (int i = 0; i < W_SIGNALS; i++)
		h->due[i] = true;
}

void
history_finish(struct history *h)
{
	close_page(h);
	if (h->again != NULL)
		file_finish(h->again);
	h->again = NULL;
}

static char *
put_value(char *to, int form, int signal, double value)
{
	static const char *const states[MILLS][2] = { { "0", "1" }, { "Stopped", "Running" }, { "AUS", "EIN" } };

	if (works_columns[signal].is_switch)
		return put_text(to, states[form][value != 0]);
	return put_number(to, value, works_columns[signal].decimals, form == SM ? ',' : '.');
}

static void
write_wide(struct history *h, const struct sim_clock *c, unsigned long bad)
{
	static const char *const words[] = { "Bad Input", "", "#NV" };
	char row[1024], *to = put_stamp(row, h->number, c), separator = h->number == NM ? ',' : ';';

	for (int i = 0; i < W_SIGNALS; i++) {
		*to++ = separator;
		to = bad >> i & 1 ? put_text(to, words[h->number]) : put_value(to, h->number, i, h->held[i]);
	}
	to = put_text(to, h->number == NM ? "\r\n" : "\n");
	fwrite(row, 1, (size_t)(to - row), h->file);
	if (h->again != NULL && same_day(h, c))
		fwrite(row, 1, (size_t)(to - row), h->again);
}

static void
write_long(struct history *h, const struct sim_clock *c, unsigned long kept, unsigned long bad)
{
	char row[128], stamp[48], *stamp_end = put_stamp(stamp, MM, c), *to;

	*stamp_end = '\0';
	for (int i = 0; i < W_SIGNALS; i++) {
		if ((kept >> i & 1) == 0)
			continue;
		to = put_text(row, h->mill->name);
		*to++ = '.';
		to = put_text(to, works_columns[i].name);
		*to++ = ',';
		to = put_text(to, stamp);
		*to++ = ',';
		to = bad >> i & 1 ? put_text(to, "No Data,Bad\r\n") : put_text(put_value(to, MM, i, h->held[i]), ",Good\r\n");
		fwrite(row, 1, (size_t)(to - row), h->file);
	}
}

static bool
outage(const struct history *h, int64_t sec)
{
	for (int i = 0; i < OUTAGES; i++)
		if (within(&h->mill->outage[i], sec))
			return true;
	return false;
}

void
history_minute(struct history *h, int64_t sec, const double value[W_SIGNALS], bool write)
{
	unsigned long kept = 0, bad = 0;
	struct sim_clock c;

	if (outage(h, sec))
		return;
	if (write) {
		c = sim_local(sec);
		turn_page(h, &c);
		open_again(h, &c);
	}
	for (int i = 0; i < W_SIGNALS; i++) {
		double band = works_columns[i].deadband;
		bool spoilt = !works_columns[i].is_switch && sim_uniform(&h->random) < BAD_SHARE;

		if (h->due[i] || spoilt || fabs(value[i] - h->held[i]) > band || sec - h->held_sec[i] >= HOLD_S) {
			kept |= 1ul << i;
			h->held[i] = value[i];
			h->held_sec[i] = sec;
			h->due[i] = spoilt;
		}
		if (spoilt)
			bad |= 1ul << i;
	}
	if (!write)
		return;
	for (int i = 0; i < W_SIGNALS; i++) {
		h->readings += h->number != MM || (kept >> i & 1);
		h->bad += bad >> i & 1;
	}
	if (h->number == MM)
		write_long(h, &c, kept, bad);
	else
		write_wide(h, &c, bad);
}

void
history_event(struct history *h, int64_t sec, bool open)
{
	struct sim_clock c = sim_local(sec);

	if (h->events == NULL)
		return;
	fprintf(h->events, "%04d-%02d-%02d %02d:%02d:%02d,%s.VCH,%s\n", c.year, c.month, c.day, c.hour, c.minute, c.second,
	    h->mill->name, open ? "OPEN" : "CLOSED");
	h->readings++;
}
