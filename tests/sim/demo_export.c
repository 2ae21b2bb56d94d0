/*
 * Exports in the forms in which plants hand them out.
 */
#include <math.h>

#include "demo.h"

static void
wide_header(struct sim_export *x)
{
	const char *name = x->mill->name;

	if (x->form == SIM_WIDE_POINT) {
		fprintf(x->file, "\357\273\277Historian export\r\nInterval,60 s\r\nTimestamp");
		for (int i = 0; i < SIM_SIGNALS; i++)
			fprintf(x->file, ",%s.%s", name, sim_columns[i].name);
		fprintf(x->file, "\r\n");
		return;
	}
	fprintf(x->file, "Datum;Uhrzeit");
	for (int i = 0; i < SIM_SIGNALS; i++)
		fprintf(x->file, ";%s.%s", name, sim_columns[i].name);
	fprintf(x->file, "\n;");
	for (int i = 0; i < SIM_SIGNALS; i++) {
		/* The degree sign is one byte in Windows-1252, two in UTF-8. */
		const char *unit = sim_columns[i].unit;

		fprintf(x->file, ";%s", *unit == '\302' ? "\260C" : unit);
	}
	fprintf(x->file, "\n");
}

void
sim_export_begin(struct sim_export *x)
{
	if (x->form == SIM_LONG_QUALITY) {
		fprintf(x->file, "TagName,DateTime,Value,QualityText\r\n");
		for (int i = 0; i < SIM_SIGNALS; i++)
			x->due[i] = true;
	} else
		wide_header(x);
}

/* A number as the historian writes it. */
static void
number(FILE *file, double value, int decimals, char mark)
{
	char text[64];

	if (fabs(value) < 0.5 * pow(10, -decimals))
		value = 0;
	snprintf(text, sizeof(text), "%.*f", decimals, value);
	for (char *p = text; *p != '\0'; p++)
		fputc(*p == '.' ? mark : *p, file);
}

static void
wide_minute(struct sim_export *x, int64_t sec)
{
	struct sim_clock c = sim_local(sec);
	char separator = x->form == SIM_WIDE_POINT ? ',' : ';', mark = x->form == SIM_WIDE_POINT ? '.' : ',';

	if (x->form == SIM_WIDE_POINT)
		fprintf(x->file, "%04d-%02d-%02d %02d:%02d:%02d", c.year, c.month, c.day, c.hour, c.minute, c.second);
	else
		fprintf(x->file, "%02d.%02d.%04d;%02d:%02d:%02d", c.day, c.month, c.year, c.hour, c.minute, c.second);
	for (int i = 0; i < SIM_SIGNALS; i++) {
		fputc(separator, x->file);
		if (sim_columns[i].is_switch)
			fputs(x->form == SIM_WIDE_POINT ? (x->mill->value[i] != 0 ? "1" : "0") :
			    (x->mill->value[i] != 0 ? "EIN" : "AUS"), x->file);
		else if (sim_uniform(&x->random) >= 0.001)	/* now and then a cell is blank */
			number(x->file, x->mill->value[i], sim_columns[i].decimals, mark);
	}
	fputs(x->form == SIM_WIDE_POINT ? "\r\n" : "\n", x->file);
}

static void
long_minute(struct sim_export *x, int64_t sec)
{
	struct sim_clock c = sim_local(sec);

	for (int i = 0; i < SIM_SIGNALS; i++) {
		double v = x->mill->value[i];
		bool bad = sim_uniform(&x->random) < 0.002;

		/* Exception reporting: a change beyond the deadband, or ten minutes. */
		if (!x->due[i] && !bad && fabs(v - x->last[i]) <= sim_columns[i].deadband && sec - x->last_sec[i] < 600)
			continue;
		x->due[i] = false;
		x->last[i] = v;
		x->last_sec[i] = sec;
		fprintf(x->file, "%s.%s,%d/%d/%04d %d:%02d:%02d %s,", x->mill->name, sim_columns[i].name, c.month, c.day, c.year,
		    c.hour % 12 == 0 ? 12 : c.hour % 12, c.minute, c.second, c.hour < 12 ? "AM" : "PM");
		if (bad)
			fputs("No Data", x->file);
		else if (sim_columns[i].is_switch)
			fputs(v != 0 ? "Running" : "Stopped", x->file);
		else
			number(x->file, v, sim_columns[i].decimals, '.');
		fprintf(x->file, ",%s\r\n", bad ? "Bad" : "Good");
	}
}

void
sim_export_minute(struct sim_export *x, int64_t sec)
{
	if (x->form == SIM_LONG_QUALITY)
		long_minute(x, sec);
	else
		wide_minute(x, sec);
}

/* The writer died in the middle of a line. */
void
sim_export_cut(struct sim_export *x)
{
	fprintf(x->file, "%s.%s,11/4/2025 2:2", x->mill->name, sim_columns[SIM_PGR].name);
}
