/*
 * Between the files of derive/oil.h.
 */
#ifndef LEAT_DERIVE_OIL_PRIVATE_H
#define LEAT_DERIVE_OIL_PRIVATE_H

#include "derive/oil.h"
#include "physics/oil_water.h"

/* What a series is to the filter. */
enum leat_oils_role {
	LEAT_OILS_ROLE_NEW,
	LEAT_OILS_ROLE_SILENT,		/* what others derive, and typed values: no sign that instruments report */
	LEAT_OILS_ROLE_OTHER,		/* an instrument of the mill */
	LEAT_OILS_ROLE_TEMPERATURE,
	LEAT_OILS_ROLE_TANK,		/* level, pressure and state of the mill */
	LEAT_OILS_ROLE_HOURS,
	LEAT_OILS_ROLE_TOP_UP,
	LEAT_OILS_ROLE_DRAINED,
	LEAT_OILS_ROLE_SAMPLE,
	LEAT_OILS_ROLE_MADE
};

/* What was not there, bits of leat_oils_mill.wanted. */
enum leat_oils_want {
	LEAT_OILS_WANT_TEMPERATURE, LEAT_OILS_WANT_COLDEST, LEAT_OILS_WANT_VOLUME, LEAT_OILS_WANT_VISCOSITY, LEAT_OILS_WANT_ACID,
	LEAT_OILS_WANT_ZINC, LEAT_OILS_WANT_HOURS, LEAT_OILS_WANT_DILUTION, LEAT_OILS_WANT_LOOP, LEAT_OILS_WANT_AREA,
	LEAT_OILS_WANT_STATE, LEAT_OILS_WANT_PRESSURE,
	LEAT_OILS_WANTS
};

/* Seconds of the days that are looked back upon. */
#define LEAT_OILS_BACK_S (LEAT_OILS_DAYS * 86400.0)

/* oil_made.c */

void leat_oils_want(struct leat_oils_mill *mill, enum leat_oils_want want);
void leat_oils_tell_wanted(const struct leat_oils *oil, const struct leat_oils_mill *mill);

/* A number of the nameplate at the instant, NaN where there is none. */
double leat_oils_plate(const struct leat_oils *oil, struct leat_span asset, const char *property);

/* oil_tank.c */

/* Adds up what is seen of the mill until t, by its readings so far. */
void leat_oils_integrate(struct leat_oils *oil, struct leat_oils_mill *mill, struct leat_time t);
/* A temperature of the oil in the tank. */
void leat_oils_temperature(struct leat_oils_mill *mill, struct leat_time t, double temp_c);
void leat_oils_changed(struct leat_oils *oil, struct leat_oils_mill *mill, struct leat_time t);
/* The oil's temperature at work, NaN where it is not known; *from: by what. */
double leat_oils_working(const struct leat_oils *oil, const struct leat_oils_mill *mill, const char **from);
/* The coldest of the days looked back upon, or what the nameplate expects; NaN where nothing is known. */
double leat_oils_coldest(const struct leat_oils *oil, const struct leat_oils_mill *mill, const char **from);
/* Writes ageing hours, once an instant. */
void leat_oils_aged(struct leat_oils *oil, struct leat_oils_mill *mill);
/* Closes the works' day of a mill. */
void leat_oils_day_over(struct leat_oils *oil, struct leat_oils_mill *mill);

/* oil_balance.c */
void leat_oils_balance(struct leat_oils *oil, struct leat_oils_mill *mill);

/* oil_sample.c, oil_rate.c, oil_treat.c: what is made of a sample. */
void leat_oils_curve(const struct leat_oils *oil, struct leat_span asset, struct leat_oil_water *curve, const char **from);
void leat_oils_sampled(struct leat_oils *oil, struct leat_oils_sample *sample);
void leat_oils_rates(struct leat_oils *oil, struct leat_oils_sample *sample);
void leat_oils_clean_up(struct leat_oils *oil, struct leat_oils_sample *sample);
void leat_oils_drying_time(struct leat_oils *oil, struct leat_oils_sample *sample);

#endif
