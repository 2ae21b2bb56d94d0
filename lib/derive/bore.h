/*
 * Cylinders measured at stops: the bore by gauge, and the leakage past the piston seals by measuring glass.
 * lib/physics/bore.h fed with readings and the nameplate.
 *
 * CYL/plane-N/x and /y have a bore-diameter: N from 1, at the head, two directions at right angles.  All such readings of
 * one works' day are one measurement of the cylinder; of two readings of one place the later counts.  ring-temperature and
 * bore-temperature belong to the cylinder, or to a plane of it.  CYL/position-NAME, or the cylinder itself, has a
 * seal-leakage; those without a longer pause between them are one test.
 *
 * Memory: a record for each cylinder and mill, the positions of its last leak test, and the rows of one instant.
 */
#ifndef LEAT_DERIVE_BORE_H
#define LEAT_DERIVE_BORE_H

#include "derive/made.h"
#include "derive/refused_row.h"
#include "stream/nameplate.h"
#include "stream/points.h"

#define LEAT_BORES_PLANES 9
#define LEAT_BORES_TYPED 24		/* bytes of a diameter as typed, with its end */

/* Private: a temperature, of a ring or a bore. */
struct leat_bores_heat {
	bool has;
	bool oil;			/* of the bore: only the oil in it was read */
	double temp_c;
	enum leat_quality quality;
	struct leat_time time;
};

/* Private: a diameter of the grid. */
struct leat_bores_point {
	bool has;
	double read_mm;
	char typed[LEAT_BORES_TYPED];	/* empty: it was not in mm, or too long */
	enum leat_quality quality;
	struct leat_time time;
	struct leat_bores_heat ring, bore;
};

/* Private: a whole measurement, for the growth of the wear to the next. */
struct leat_bores_wear {
	bool has;
	double largest_mm, new_mm, hours;	/* at 20 degC; hours not finite: not known */
	enum leat_quality quality;		/* of what was read */
	struct leat_time time;
};

/* Private: leakage at one position of the stroke. */
struct leat_bores_leak {
	struct leat_span asset;		/* interned */
	double mlpm;
	enum leat_quality quality;
};

/* Private: a cylinder. */
struct leat_bores_cylinder {
	struct leat_span asset;
	uint32_t mill;
	/* The works' day of the measurement. */
	struct leat_time day_end;	/* LEAT_TIME_NONE: none yet */
	struct leat_span plane[LEAT_BORES_PLANES];	/* assets of the planes that came; empty: it never did */
	struct leat_bores_point point[LEAT_BORES_PLANES][2];
	struct leat_bores_heat ring[LEAT_BORES_PLANES + 1], bore[LEAT_BORES_PLANES + 1];	/* 0: of the whole cylinder */
	size_t points;
	bool touched;			/* at this instant */
	bool made, changed;		/* rows of it were made; a diameter, or a temperature of one, came after that */
	struct leat_bores_wear before, latest;	/* of earlier days; of this one */
	/* The leak test. */
	struct leat_bores_leak *leak;
	size_t leaks, leak_cap;
	struct leat_time leak_from, leak_at, leak_end;	/* its first and last reading; when it is over */
	struct leat_bores_heat oil;	/* the cylinder's own oil-temperature */
};

/* Private: a mill. */
struct leat_bores_mill {
	double hours;
	struct leat_time hours_at;	/* LEAT_TIME_NONE: none */
	struct leat_bores_heat tank;
};

/* Private: what a series is. */
struct leat_bores_series {
	uint8_t role, plane, direction;
	bool odd;			/* of no place of the grid, or more planes than there are */
	uint32_t cylinder, mill;
};

struct leat_bores {
	/* The user sets these before leat_bores_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;			/* takes the rows or explanations */
	bool copy;				/* rows of the stream are written, so those that are held here too */
	bool explain;				/* explanations in place of rows */
	struct leat_span what;			/* explain this asset or ASSET/POINT only; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */
	leat_refused_row_fn *reject;		/* is told of a diameter that cannot be one; may be NULL */

	/* What was done. */
	long long bores, leak_tests, uncertain, rejected, open;

	/* Private. */
	struct leat_made made;
	struct leat_time time;
	bool touched;				/* cylinders have readings at time */
	size_t due;				/* cylinders with something that is not yet made */
	struct leat_bores_series *series;
	size_t series_cap;
	struct leat_names cylinder_names, mill_names, plane_names;
	struct leat_bores_cylinder *cylinder;
	struct leat_bores_mill *mill;
	size_t cylinder_cap, mill_cap;
	uint32_t *order;			/* cylinders by name */
	size_t order_cap;
};

void leat_bores_init(struct leat_bores *b);

/* Takes a reading in, after writing what belongs before it.  1: the reading stays in the stream; 0: it is kept back until
 * its instant is over, or rejected; -1 with err: out of memory, or a unit of another dimension. */
int leat_bores_take(struct leat_bores *b, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due up to now (LEAT_TIME_NONE: the last time of the stream).  0, or -1 with err. */
int leat_bores_end(struct leat_bores *b, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_bores_free(struct leat_bores *b);

/*
 * What a typed diameter may have been meant as: two digits that changed places, inches, a decimal mark moved, the deviation
 * from the ring alone.  expected_mm is about what it should be, within allowed_mm.  unit is the text's unit as typed, in mm.
 * Writes a clause such as "two digits changed places? 320.15" to hint and returns true; false when none of them fits.
 */
bool leat_bores_slip(char *hint, size_t size, struct leat_span typed, double unit_mm, double expected_mm, double allowed_mm);

#endif
