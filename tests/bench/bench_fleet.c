/*
 * bench_fleet ROWS MILLS [SECONDS]: prints the readings of a fleet of mills, 15 points each every SECONDS (60), in time order
 * from 2025-01-01 on, for measuring how cost grows with rows and with mills.  The mills are M01, M02 ...; each presses for 20
 * hours and stands for 4.  What it prints depends on its operands alone.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static const struct point {
	const char *part, *name, *unit;
	double grinding, off, noise;
	int decimals; /* -1: a switch */
} points[] = {
	{ "", "charging", "", 0.0, 0.0, 0.0, -1 },
	{ "", "feed-rate", "t/h", 180.0, 0.0, 4.0, 1 },
	{ "", "head-pressure", "bar", 9.0, 1.0, 0.3, 1 },
	{ "", "level", "mm", 560.0, 640.0, 1.5, 0 },
	{ "", "mill-power", "kW", 1250.0, 0.0, 40.0, 0 },
	{ "", "mill-running", "", 1.0, 0.0, 0.0, -1 },
	{ "", "oil-temperature", "degC", 49.0, 38.0, 0.6, 1 },
	{ "", "pressure", "bar", 125.0, 1.0, 2.0, 1 },
	{ "", "vibration", "mm/s", 3.1, 0.2, 0.4, 2 },
	{ "/cooler", "oil-in-temperature", "degC", 49.0, 38.0, 0.6, 1 },
	{ "/cooler", "oil-out-temperature", "degC", 43.0, 37.0, 0.5, 1 },
	{ "/cooler", "water-in-temperature", "degC", 18.0, 18.0, 0.5, 1 },
	{ "/filter", "filter-dp", "bar", 0.62, 0.0, 0.02, 2 },
	{ "/pump-a", "drain-flow", "L/min", 1.9, 0.0, 0.06, 2 },
	{ "/pump-a", "pump-running", "", 1.0, 0.0, 0.0, -1 },
};

static uint64_t state = 1;

/* A number in -1..1; the generator of Knuth, MMIX. */
static double
noise(void)
{
	state = state * 6364136223846793005u + 1442695040888963407u;
	return (double)(int64_t)state / 9223372036854775808.0;
}

static void
print_row(const char *stamp, int mill, const struct point *p, int grinding)
{
	double value = grinding ? p->grinding : p->off;

	if (p->decimals < 0)
		printf("%s,M%02d%s,%s,%s,,good\n", stamp, mill, p->part, p->name, value > 0.0 ? "on" : "off");
	else
		printf("%s,M%02d%s,%s,%.*f,%s,good\n", stamp, mill, p->part, p->name, p->decimals,
		       value > 0.0 ? value + p->noise * noise() : 0.0, p->unit);
}

int
main(int argc, char *argv[])
{
	size_t count = sizeof(points) / sizeof(points[0]);
	long long rows = argc > 1 ? atoll(argv[1]) : 0, done = 0;
	int mills = argc > 2 ? atoi(argv[2]) : 0;
	int step = argc > 3 ? atoi(argv[3]) : 60;
	time_t at = 1735689600; /* 2025-01-01T00:00:00Z */

	if (rows <= 0 || mills <= 0 || step <= 0) {
		fprintf(stderr, "usage: bench_fleet ROWS MILLS [SECONDS]\n");
		return 2;
	}
	puts("time,asset,point,value,unit,quality");
	for (; done < rows; at += step) {
		struct tm tm;
		char stamp[64];

		gmtime_r(&at, &tm);
		strftime(stamp, sizeof(stamp), "%Y-%m-%dT%H:%M:%SZ", &tm);
		for (int mill = 1; mill <= mills; mill++)
			for (size_t i = 0; i < count && done < rows; i++, done++)
				print_row(stamp, mill, &points[i], (tm.tm_hour + mill) % 24 >= 4);
	}
	return fflush(stdout) != 0 || ferror(stdout) ? 2 : 0;
}
