/*
 * precharge.csv: the maker's curve of gas precharge over grinding pressure.
 *
 * An asset has the curve of its own rows, else that of its nearest parent with any, else that of the rows without an
 * asset.  Between two rows the curve is a straight line; outside its rows there is none.
 */
#ifndef LEAT_STREAM_PRECHARGES_H
#define LEAT_STREAM_PRECHARGES_H

#include "stream/table.h"

/* One row, in bar gauge; the precharge is that at 20 degC. */
struct leat_precharge_row {
	struct leat_span asset;		/* empty: every asset without a curve of its own */
	double grinding_bar, precharge_bar;
	long line;
};

struct leat_precharges {
	struct leat_table *table;	/* owns the spans; NULL when there is no precharge.csv */
	struct leat_precharge_row *row;
	size_t count, cap;
};

/* Reads the table at path.  An absent file gives no curve (0; *absent set).  A pattern for an asset, a pressure that is
 * not above zero, a unit other than of gauge pressure, and one grinding pressure twice are faults.  0, or -1 with err. */
int leat_precharges_read(struct leat_precharges *curves, const char *path, bool *absent, struct leat_error *err)
    LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_precharges_form;
int leat_precharges_make(struct leat_precharges *curves, struct leat_table *table, struct leat_error *err) LEAT_MUST_USE;
void leat_precharges_free(struct leat_precharges *curves);

enum leat_precharge_found {
	LEAT_PRECHARGE_NO_CURVE,
	LEAT_PRECHARGE_OUTSIDE,		/* there is a curve, but it does not reach that pressure */
	LEAT_PRECHARGE_FOUND
};

/* What the curve of an asset says. */
struct leat_precharge_point {
	const struct leat_precharge_row *lower, *upper;	/* the rows around it, one row twice on a row; outside: the curve's ends */
	double precharge_bar;				/* when found */
};
enum leat_precharge_found leat_precharges_at(const struct leat_precharges *curves, struct leat_span asset,
    double grinding_bar, struct leat_precharge_point *point);

#endif
