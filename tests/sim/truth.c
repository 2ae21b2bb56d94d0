/*
 * What is true: every fault with its dates, its size and what it should look like, and the stops.
 */
#include <inttypes.h>

#include "files.h"
#include "works.h"

static void
put_time(FILE *file, int64_t sec)
{
	struct sim_clock c = sim_clock_utc(sec);

	fprintf(file, "%04d-%02d-%02dT%02d:%02d:%02dZ", c.year, c.month, c.day, c.hour, c.minute, c.second);
}

static void
row(FILE *file, const char *mill, const char *fault, const char *asset, const char *what, const char *size, int64_t from,
    int64_t to, const char *signature)
{
	fprintf(file, "%s,%s,%s,%s,%s,", mill, fault, asset, what, size);
	put_time(file, from);
	fputc(',', file);
	if (to != 0)
		put_time(file, to);
	fprintf(file, ",%s\n", signature);
}

static const char *
size(char *text, size_t room, double value, int decimals, const char *unit)
{
	snprintf(text, room, "%.*f %s", decimals, value, unit);
	return text;
}
#define SIZE(value, decimals, unit) size((char[48]){ 0 }, 48, value, decimals, unit)

static void
wear_and_leaks(FILE *file, const struct works *w)
{
	const struct faults *f = &w->faults;

	row(file, "NM", "F1", "NM/pump-a", "pump wear", SIZE(f->wear.per_hour * 1e5, 2,
	    "e-5 cbrt(L/min) per running h"), f->wear.from,
	    f->wear.changed, "drain flow corrected grows as the cube of a line");
	row(file, "NM", "F1", "NM/pump-a", "pump wear faster", SIZE(f->wear.factor, 1, "times"),
	    f->wear.faster, f->wear.changed,
	    "growth steeper");
	row(file, "MM", "F2", "MM/accu-4", "gas lost", SIZE(f->gas.month * 100, 1, "% per month"),
	    f->gas.from, f->gas.topped,
	    "compliance down; level swing up; pump-ups more frequent; leakage steady");
	row(file, "MM", "F2", "MM/accu-4", "gas lost", SIZE(f->gas.month * 100, 1, "% per month"),
	    f->gas.topped, f->gas.renewed,
	    "the same after topping up");
	row(file, "SM", "F3", "SM/cyl-2", "piston seal worn", SIZE(f->seal.leak_lpm, 2, "L/min"),
	    f->seal.from, f->seal.set,
	    "leakage and pump-ups per hour up; head pressure up; compliance steady");
	row(file, "SM", "F3", "SM/cyl-2", "bore wear", SIZE(f->seal.bore_mm, 3, "mm"), f->seal.set, 0,
	    "bore gauge read warm");
	row(file, "NM", "F11", "NM/relief", "relief valve weeps", SIZE(f->weep.lpm, 2, "L/min at 130 bar"),
	    f->weep.from, 0,
	    "pressure falls fast above 128 bar only");
	row(file, "MM", "F13", "MM", "wrong oil topped up", SIZE(f->wrong_oil.share * 100, 1, "% viscosity"),
	    f->wrong_oil.at, 0,
	    "viscosity up; acid number steady");
}

static void
heat_filter_water(FILE *file, const struct works *w)
{
	const struct faults *f = &w->faults;
	double left = f->fouling.share;

	row(file, "NM", "F4", "NM/cooler", "cooler fouled", SIZE(w->mill[NM].ua * left, 3, "kW/K"),
	    f->fouling.from, f->fouling.cleaned,
	    "UA falls; oil hot in summer");
	row(file, "MM", "F4", "MM/cooler", "cooler fouled", SIZE(w->mill[MM].ua * left, 3, "kW/K"), f->fouling.from, 0,
	    "UA falls; oil hot in summer");
	row(file, "MM", "F4", "MM/cooler", "cleaning logged but not done", "", f->fouling.claimed, 0, "UA unchanged");
	row(file, "SM", "F5", "SM/filter", "dust at a scraper", SIZE(f->ingress.days, 0, "d element life"),
	    f->ingress.from,
	    f->ingress.to, "element life short; counts and silicon up");
	row(file, "NM", "F5", "NM/filter", "element collapsed", SIZE(f->collapse.dp_bar, 2, "bar"), f->collapse.from,
	    f->collapse.changed, "dp far below clean; counts before and behind filter alike");
	row(file, "MM", "F6", "MM/cooler", "cooler tube leaks", SIZE(f->tube.ppm_day, 0, "mg/kg per day"),
	    f->tube.from,
	    f->tube.isolated, "water and sodium up; level up without top-up");
	row(file, "MM", "F6", "MM", "free water at the bottom", SIZE(f->tube.free_l, 0, "L"), f->tube.from,
	    f->tube.isolated,
	    "level up");
	row(file, "SM", "F10", "SM/cooler", "thermostat hunts", SIZE(f->hunting.kelvin, 0, "K"), f->hunting.when.from,
	    f->hunting.when.to, "cooler outlet swings with 9 min; tank steady");
}

static void
instruments(FILE *file, const struct works *w)
{
	const struct faults *f = &w->faults;

	row(file, "SM", "F7", "SM", "tank thermometer frozen", SIZE(f->frozen.celsius, 1, "degC"), f->frozen.when.from,
	    f->frozen.when.to, "one value while partners move and the mill stops");
	row(file, "NM", "F7", "NM", "pressure transmitter drifts", SIZE(f->drift.bar, 1, "bar"),
	    f->drift.when.from, f->drift.when.to,
	    "transmitter above the gauge of the round sheet; pressure too low");
	row(file, "MM", "F8", "MM/pump-a", "drain meter in gal/min", SIZE(f->meter.factor, 4, "times"),
	    f->meter.from, 0,
	    "drain flow falls by a known factor; drain temperature steady");
	row(file, "MM", "F8", "MM/pump-a", "meter change not logged", "", f->meter.from, f->meter.logged,
	    "step without a log line");
	row(file, "SM", "F12", "SM", "operators lower the set point", SIZE(f->low_set.bar, 0, "bar"),
	    f->low_set.when.from,
	    f->low_set.when.to, "set point below the agreed one without a log line");
	row(file, "NM", "F9", "NM", "gas check missed", "", sim_utc(2025, 4, 1, 0, 0), sim_utc(2025, 7, 1, 0,
	    0), "no log line");
	row(file, "SM", "F9", "SM/relief", "relief test missed", "", w->begin + 313 * DAY_S + 36000, 0,
	    "no log line within 12 months");
	row(file, "MM", "F9", "MM/breather", "breather never changed", "", w->begin, 0, "no log line");
	row(file, "NM", "F9", "NM", "round sheets missing", "", f->missing_rounds.from, f->missing_rounds.to,
	    "no rounds");
	row(file, "", "F14", "", "clock set forward", "", sim_utc(2025, 3, 30, 1, 0), sim_utc(2025, 3, 30, 4,
	    0), "an hour that is not");
	row(file, "", "F14", "", "clock set back", "", sim_utc(2025, 10, 26, 1, 0), sim_utc(2025, 10, 26, 4, 0),
	    "an hour twice with pump-ups in it");
	row(file, "SM", "F14", "SM", "a day exported twice", "", f->doubled_export - 12 * 3600,
	    f->doubled_export + 12 * 3600,
	    "equal rows twice");
	row(file, "NM", "F14", "NM/accu-2", "precharge read under load", "121 bar", f->loaded_gauge, 0,
	    "gas pressure near the grinding pressure");
	row(file, "", "F14", "", "cleanliness code turned into a date", "", sim_utc(2025, 8, 12, 9, 30), 0,
	    "12.10.2008 for 12/10/08");
}

static void
decoys(FILE *file, const struct works *w)
{
	const struct faults *f = &w->faults;

	row(file, "MM", "decoy", "MM/filter", "cold morning", "2.8 bar", f->cold_morning[0],
	    f->cold_morning[0] + 4 * 3600,
	    "dp high and drain flow low until warm");
	row(file, "SM", "decoy", "SM/filter", "cold morning", "2.8 bar", f->cold_morning[1],
	    f->cold_morning[1] + 4 * 3600,
	    "dp high and drain flow low until warm");
	row(file, "NM", "decoy", "NM", "gas gauge high in summer", "3 to 5 bar", sim_utc(2025, 7, 1, 0, 0),
	    sim_utc(2025, 9, 1, 0, 0),
	    "no change at 20 degC");
	row(file, "MM", "decoy", "MM", "change-over to pump B", "", f->standby.from, f->standby.to,
	    "drain flow of another pump");
	row(file, "NM", "decoy", "NM", "trial of a set point", SIZE(f->trial.bar, 0, "bar"),
	    f->trial.when.from, f->trial.when.to,
	    "logged");
	row(file, "NM", "decoy", "NM/sample-return", "dirty sampling valve", "9 times", f->dirty_valve - 10 * DAY_S,
	    f->dirty_valve + 10 * DAY_S, "first bottle only");
}

void
truth_write(const struct works *w, const char *folder)
{
	FILE *file = file_create(folder, "truth.csv");

	fprintf(file, "mill,fault,asset,what,size,from,to,signature\n");
	wear_and_leaks(file, w);
	heat_filter_water(file, w);
	instruments(file, w);
	decoys(file, w);
	for (int i = 0; i < MILLS; i++)
		for (int k = 0; k < OUTAGES; k++)
			row(file, w->mill[i].name, "outage", w->mill[i].name, "no export",
			    SIZE((double)(w->mill[i].outage[k].to - w->mill[i].outage[k].from) / 3600, 1, "h"), w->mill[i].outage[k].from,
			    w->mill[i].outage[k].to, "gap of all signals but the list of charging");
	file_finish(file);
}

void
stops_write(const struct works *w, const char *folder)
{
	FILE *file = file_create(folder, "stops.csv");

	fprintf(file, "start,end,asset,kind\n");
	for (int i = 0; i < MILLS; i++)
		for (int k = 0; k < w->mill[i].stops; k++) {
			put_time(file, w->mill[i].stop[k].from);
			fputc(',', file);
			put_time(file, w->mill[i].stop[k].to);
			fprintf(file, ",%s,%s\n", w->mill[i].name, w->mill[i].planned[k] ? "planned" : "unplanned");
		}
	file_finish(file);
}
