/*
 * The oil that a filter of the stream reckons with: the delivered oil of the nameplate, moved to the viscosity at 40 degC
 * that the laboratory found last in any part of the mill.
 *
 * How fast it thins with warmth stays that of the delivered oil (lib/physics/oil.h).  A sample from when the nameplate had
 * another oil tells nothing of this one.
 */
#ifndef LEAT_DERIVE_OIL_IN_USE_H
#define LEAT_DERIVE_OIL_IN_USE_H

#include "physics/oil.h"
#include "stream/nameplate.h"
#include "stream/reading.h"

/* What the nameplate says of the delivered oil; viscosities NaN where it does not. */
struct leat_fresh_oil {
	bool known;			/* curve can be asked */
	double at_40_mm2_s, at_100_mm2_s;	/* the midpoint of its grade serves where that at 40 degC is not given */
	struct leat_oil curve;
};

void leat_fresh_oil_read(struct leat_fresh_oil *fresh, const struct leat_nameplate *np, struct leat_span asset,
    struct leat_time at);

/* The last laboratory viscosity at 40 degC of a mill. */
struct leat_oil_sheet {
	double at_40_mm2_s;
	struct leat_time time;		/* LEAT_TIME_NONE: there is none yet */
	struct leat_span asset;		/* where it was drawn; valid while the readings are open */
};

void leat_oil_sheet_init(struct leat_oil_sheet *sheet);

/* Takes a reading of viscosity-40 that is good and possible.  0, or -1 with err for a unit of another dimension. */
int leat_oil_sheet_take(struct leat_oil_sheet *sheet, struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err) LEAT_MUST_USE;

/* The oil of one asset. */
struct leat_oil_in_use {
	struct leat_fresh_oil fresh;
	struct leat_oil curve;		/* of the oil in use; as fresh.curve while lab is none */
	struct leat_time lab;		/* of the laboratory value that it goes by; LEAT_TIME_NONE: none */
	struct leat_time seen;		/* private: of that which was looked at last */
};

/* Begins with what the nameplate says at that time; done again when the nameplate changes. */
void leat_oil_in_use_read(struct leat_oil_in_use *use, const struct leat_nameplate *np, struct leat_span asset,
    struct leat_time at);

/* Goes by the last sheet; cheap while that stays. */
void leat_oil_in_use_follow(struct leat_oil_in_use *use, const struct leat_nameplate *np, struct leat_span asset,
    const struct leat_oil_sheet *sheet);

/* For people: "47.10 mm2/s at 40 degC by MM/sample-return of 2025-04-20T08:00:00Z (fresh ...)"; and the equation. */
void leat_oil_in_use_words(char *dst, size_t size, const struct leat_oil_in_use *use, const struct leat_oil_sheet *sheet);
void leat_oil_in_use_equation(char *dst, size_t size, const struct leat_oil_in_use *use);

#endif
