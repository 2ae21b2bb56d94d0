/*
 * The round sheets, with what people get wrong: rounds left out, words in place of numbers, a pressure in MPa, digits
 * turned round, one value for a day and more, all rounds of a day in five minutes.
 */
#include <math.h>

#include "files.h"
#include "rounds.h"

void
rounds_start(struct rounds *r, const struct works *w, int mill, const char *folder)
{
	*r = (struct rounds){ .works = w, .folder = folder, .number = mill, .next = w->begin };
	r->random.state = w->seed * 131 + 9000 + (uint64_t)mill;
}

void
rounds_finish(struct rounds *r)
{
	if (r->file != NULL)
		file_finish(r->file);
	r->file = NULL;
}

/* The next round falls within 25 minutes of six, fourteen and twenty-two o'clock. */
static int64_t
next_round(struct rounds *r, int64_t sec)
{
	struct sim_clock c = sim_local(sec);
	int hour = c.hour < 5 ? 6 : c.hour < 13 ? 14 : c.hour < 21 ? 22 : 30;
	int64_t day_begin = sec - c.hour * 3600 - c.minute * 60 - c.second;

	return day_begin + hour * 3600 + 60 * (int64_t)(25 * (2 * sim_uniform(&r->random) - 1));
}

/* The local pressure gauge, and how it gets on to the sheet. */
static char *
put_pressure(struct rounds *r, char *to, double bar)
{
	double chance = sim_uniform(&r->random);

	bar = bar > 0 ? floor(bar + 0.5) : 0;
	if (r->copied > 0) {
		r->copied--;
		bar = r->copied_bar;
	} else if (chance < 0.004) {
		r->copied = 5;
		r->copied_bar = bar;
	}
	if (chance > 0.996)
		return put_text(put_number(to, bar / 10, 1, ','), " MPa");
	if (chance > 0.992 && bar >= 100) {
		/* 125 becomes 152. */
		int digits = (int)bar;

		bar = digits / 100 * 100 + digits % 10 * 10 + digits / 10 % 10;
	} else if (chance > 0.988)
		return put_text(to, "ok");
	else if (chance > 0.985)
		return put_text(to, "\"\"\"\"");	/* the ditto mark, quoted as a spreadsheet does */
	return put_number(to, bar, 0, ',');
}

static char *
put_cell(struct rounds *r, char *to, double value, int decimals)
{
	double chance = sim_uniform(&r->random);

	value = value > 0 ? value : 0;
	*to++ = ';';
	if (chance < 0.004)
		return put_text(to, "n/a");
	if (chance < 0.006)
		return put_text(to, "---");
	if (chance < 0.012)
		return to;
	return put_number(to, value, decimals, ',');
}

static void
open_sheet(struct rounds *r, const struct sim_clock *c)
{
	const char *name = r->works->mill[r->number].name;
	char file[64];

	if (r->file != NULL && c->month == r->month)
		return;
	rounds_finish(r);
	snprintf(file, sizeof(file), "round_%s_%04d-%02d.csv", name, c->year, c->month);
	r->file = file_create(r->folder, file);
	r->month = c->month;
	fprintf(r->file, "Time;%s.R.PGR;%s.R.TTK;%s.R.LTK;%s.R.DPF;%s.R.QDR;%s.R.WHO\n", name, name, name, name, name, name);
}

static void
write_row(struct rounds *r, const struct machine *m, int64_t sec)
{
	static const char *const initials[] = { "ab", "kt", "mr", "sl" };
	struct sim_clock c = sim_local(sec);
	char row[256], *to = row;

	open_sheet(r, &c);
	to = put_whole(to, c.day, 2); *to++ = '.';
	to = put_whole(to, c.month, 2); *to++ = '.';
	to = put_whole(to, c.year, 4); *to++ = ' ';
	to = put_whole(to, c.hour, 2); *to++ = ':';
	to = put_whole(to, c.minute, 2); *to++ = ';';
	to = put_pressure(r, to, charge_pressure(&m->charge) + 0.6 * sim_normal(&r->random));
	to = put_cell(r, to, m->tank_c + 0.5 * sim_normal(&r->random), 0);
	to = put_cell(r, to, 5 * floor(machine_level(m, r->works, sec) / 5 + 0.5), 0);
	to = put_cell(r, to, m->dp_bar, 1);
	to = put_cell(r, to, m->drain_lpm + 0.05 * sim_normal(&r->random), 1);
	*to++ = ';';
	to = put_text(to, initials[(sec / DAY_S + c.hour) % 4]);
	*to++ = '\n';
	fwrite(row, 1, (size_t)(to - row), r->file);
	r->rows++;
}

void
rounds_minute(struct rounds *r, const struct machine *m, int64_t sec, bool write)
{
	bool left_out;

	if (r->next == r->works->begin)
		r->next = next_round(r, sec);
	if (sec < r->next)
		return;
	left_out = sim_uniform(&r->random) < 0.02 || (r->number == NM && within(&r->works->faults.missing_rounds, sec));
	if (!left_out && write) {
		write_row(r, m, sec);
		/* Now and then the sheet is filled in at one go. */
		if (sim_uniform(&r->random) < 0.003) {
			write_row(r, m, sec + 60);
			write_row(r, m, sec + 120);
		}
	}
	r->next = next_round(r, sec + 3600);
}
