/*
 * The local clock of the invented works.
 */
#include "sim.h"

static int64_t
days(int y, int m, int d)
{
	/* Days since 1970-01-01, counting years from March so that the leap day is last. */
	int64_t year = m <= 2 ? y - 1 : y, era = year / 400, of_era = year - era * 400;
	int64_t of_year = (153 * (m + (m > 2 ? -3 : 9)) + 2) / 5 + d - 1;

	return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

/* 01:00 UTC on the last Sunday of a month with 31 days.  1970-01-01 was a Thursday. */
static int64_t
last_sunday(int year, int month)
{
	int64_t day = days(year, month, 31);

	return (day - (day + 4) % 7) * 86400 + 3600;
}

static int
year_of(int64_t sec)
{
	int year = (int)(1970 + sec / 31557600);

	while (days(year + 1, 1, 1) * 86400 <= sec)
		year++;
	while (days(year, 1, 1) * 86400 > sec)
		year--;
	return year;
}

int
sim_east(int64_t sec)
{
	int year = year_of(sec);

	return sec >= last_sunday(year, 3) && sec < last_sunday(year, 10) ? 7200 : 3600;
}

struct sim_clock
sim_local(int64_t sec)
{
	return sim_clock_utc(sec + sim_east(sec));
}

struct sim_clock
sim_clock_utc(int64_t t)
{
	struct sim_clock c = { .year = year_of(t), .month = 12 };

	while (days(c.year, c.month, 1) * 86400 > t)
		c.month--;
	t -= days(c.year, c.month, 1) * 86400;
	c.day = (int)(t / 86400) + 1;
	c.hour = (int)(t / 3600 % 24);
	c.minute = (int)(t / 60 % 60);
	c.second = (int)(t % 60);
	return c;
}

int64_t
sim_utc(int year, int month, int day, int hour, int minute)
{
	int64_t t = days(year, month, day) * 86400 + hour * 3600 + minute * 60;

	return sim_east(t - 7200) == 7200 ? t - 7200 : t - 3600;
}
