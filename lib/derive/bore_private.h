/*
 * Between the files of derive/bore.h.
 */
#ifndef LEAT_DERIVE_BORE_PRIVATE_H
#define LEAT_DERIVE_BORE_PRIVATE_H

#include "derive/bore.h"

/* What a series is to the filter. */
enum leat_bores_role {
	LEAT_BORES_ROLE_NEW,
	LEAT_BORES_ROLE_OTHER,
	LEAT_BORES_ROLE_HOURS,		/* of the mill */
	LEAT_BORES_ROLE_TANK,		/* oil-temperature of the mill */
	LEAT_BORES_ROLE_OIL,		/* oil-temperature of a cylinder: of the oil in it, and so of its wall */
	LEAT_BORES_ROLE_DIAMETER,
	LEAT_BORES_ROLE_RING,
	LEAT_BORES_ROLE_BORE,		/* bore-temperature */
	LEAT_BORES_ROLE_LEAK,
	LEAT_BORES_ROLE_MADE
};

/* A number of the nameplate at the instant, NaN where there is none. */
double leat_bores_plate(const struct leat_bores *b, struct leat_span asset, const char *property);

/* Planes of the cylinder that a whole measurement has, 1..LEAT_BORES_PLANES. */
size_t leat_bores_planes(const struct leat_bores *b, const struct leat_bores_cylinder *c);

/* The diameter of a new bore at 20 degC, NaN where nothing says it; *nominal: it is the nominal one. */
double leat_bores_new(const struct leat_bores *b, const struct leat_bores_cylinder *c, bool *nominal);

/* bore_grid.c: is every place of the grid measured, with both temperatures?  Makes the rows of the measurement. */
bool leat_bores_whole(const struct leat_bores *b, const struct leat_bores_cylinder *c);
void leat_bores_measured(struct leat_bores *b, struct leat_bores_cylinder *c);

/* bore_leak.c: makes the rows of the leak test. */
void leat_bores_tested(struct leat_bores *b, struct leat_bores_cylinder *c);

/* The worse of two qualities. */
static inline enum leat_quality
leat_bores_worse(enum leat_quality a, enum leat_quality b)
{
	return a < b ? a : b;
}

#endif
