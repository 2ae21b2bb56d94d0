/*
 * simulate: the works that demo and tests judge.
 *
 *	simulate FOLDER			thirty days, one file a day and mill, and truth.csv (demo.c)
 *	simulate --year FOLDER		thirteen months (works.h):
 *
 *	NM_2025-01.csv ...		wide, decimal point, stamps as 2025-01-31 23:59:00, local time
 *	MM_2025-01.csv ...		long with quality, month first with AM and PM, only what the historian kept
 *	SM_2025-01.csv ...		wide, decimal comma, date and time in two columns, Windows-1252; one day comes again
 *	charging_NM_2025-01.csv ...	each switch of the charging valve, by the second
 *	round_NM_2025-01.csv ...	round sheets, three rounds a day
 *	lab_2025-01.csv ...		laboratory sheets, one revision, one sheet of codes
 *	logbook.csv stops.csv truth.csv
 *
 *	--seed N	other works: faults at other dates and of other sizes, truth.csv says which (default 1)
 *	--days A..B	exports, rounds and laboratory of these local days alone, such as 2025-10-01..2025-10-31
 *	--daily		exports by day
 *	--inside	inside.csv: by the hour what no instrument shows
 *
 *	simulate --pumps COUNT SEED FOLDER	many pumps, some of which wear (pumps.c)
 *
 *	simulate --gas BAR DEGC		nitrogen and six shells of 50 L at that state
 *	simulate --cycle LPM SHARE	the steady charging cycle at a leakage and a share of the gas
 *	simulate --bleed LPM SHARE	the pressure each 2 s while that flow is let off
 */
#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "demo.h"
#include "gas.h"
#include "pumps.h"
#include "vectors.h"
#include "year.h"

static int
usage(void)
{
	fprintf(stderr, "usage: simulate FOLDER\n"
	    "       simulate --year [--seed N] [--days A..B] [--daily] [--inside] FOLDER\n"
	    "       simulate --pumps COUNT SEED FOLDER\n"
	    "       simulate --gas BAR DEGC\n"
	    "       simulate --cycle LPM SHARE\n"
	    "       simulate --bleed LPM SHARE\n");
	return 2;
}

static bool
real(const char *text, double *value)
{
	char *end;

	*value = strtod(text, &end);
	return end != text && *end == '\0';
}

static bool
span_of_days(const char *text, struct sim_span *span)
{
	int a[3], b[3], used = 0;

	if (sscanf(text, "%4d-%2d-%2d..%4d-%2d-%2d%n", &a[0], &a[1], &a[2], &b[0], &b[1], &b[2], &used) != 6 ||
	    text[used] != '\0')
		return false;
	span->from = sim_utc(a[0], a[1], a[2], 0, 0);
	/* The local midnight after the last day: 30 hours after its begin is always the next day. */
	struct sim_clock next = sim_local(sim_utc(b[0], b[1], b[2], 0, 0) + 30 * 3600);

	span->to = sim_utc(next.year, next.month, next.day, 0, 0);
	return span->from < span->to;
}

static bool
year_option(int argc, char *argv[], int *i, struct year_options *o)
{
	const char *name = argv[*i];
	char *end;

	if (strcmp(name, "--daily") == 0)
		return o->daily = true;
	if (strcmp(name, "--inside") == 0)
		return o->inside = true;
	if (++*i >= argc)
		return false;
	if (strcmp(name, "--days") == 0)
		return span_of_days(argv[*i], &o->days);
	if (strcmp(name, "--seed") != 0)
		return false;
	o->seed = strtoull(argv[*i], &end, 10);
	return end != argv[*i] && *end == '\0' && argv[*i][0] != '-';
}

static bool
make_folder(const char *folder)
{
	if (mkdir(folder, 0777) == 0 || errno == EEXIST)
		return true;
	fprintf(stderr, "simulate: %s: %s\n", folder, strerror(errno));
	return false;
}

int
main(int argc, char *argv[])
{
	struct year_options o = { .seed = 1 };
	double a, b;
	int i;

	if (argc == 2 && argv[1][0] != '-') {
		if (!make_folder(argv[1]))
			return 2;
		demo_write(argv[1]);
		return 0;
	}
	if (argc == 5 && strcmp(argv[1], "--pumps") == 0 && real(argv[2], &a) && real(argv[3], &b) && a >= 1 && a < 1000 &&
	    b >= 0 && b < 1e9) {
		if (!make_folder(argv[4]))
			return 2;
		pumps_write(argv[4], (int)a, (uint64_t)b);
		return 0;
	}
	gas_prepare();
	if (argc == 4 && argv[1][1] == '-' && real(argv[2], &a) && real(argv[3], &b)) {
		if (strcmp(argv[1], "--gas") == 0)
			vectors_gas(a, b);
		else if (strcmp(argv[1], "--cycle") == 0)
			vectors_cycle(a, b);
		else if (strcmp(argv[1], "--bleed") == 0)
			vectors_bleed(a, b, 2);
		else
			return usage();
		return 0;
	}
	if (argc < 3 || strcmp(argv[1], "--year") != 0)
		return usage();
	for (i = 2; i < argc - 1; i++)
		if (!year_option(argc - 1, argv, &i, &o))
			return usage();
	if (argv[argc - 1][0] == '-' || !make_folder(argv[argc - 1]))
		return usage();
	year_write(argv[argc - 1], &o);
	return 0;
}
