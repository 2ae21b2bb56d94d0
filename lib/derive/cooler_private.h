/*
 * Between cooler.c (the stream and the flow of time), cooler_plate.c (what is known beside readings), cooler_spell.c (minutes
 * and spells), cooler_day.c (what a works' day says of a cooler) and cooler_made.c (rows and explanations).
 */
#ifndef LEAT_DERIVE_COOLER_PRIVATE_H
#define LEAT_DERIVE_COOLER_PRIVATE_H

#include "derive/cooler.h"

/* Looks up which series serve which cooler and mill; done again when a new series has come. */
void leat_coolers_resolve(struct leat_coolers *coolers);

/* Read the nameplate, where that has changed. */
void leat_coolers_read_plate(struct leat_coolers *coolers, struct leat_coolers_unit *unit);
void leat_coolers_read_mill(struct leat_coolers *coolers, struct leat_coolers_mill *mill);

/* Is it the signal in which hunting is looked for? */
uint32_t leat_coolers_signal(const struct leat_coolers_unit *unit);

/* Whether a mill grinds at the minute: 1, 0, or -1. */
int leat_coolers_grinds(const struct leat_coolers *coolers, const struct leat_coolers_mill *mill, bool *uncertain);

/* Look at a cooler and at a mill's tank in the minute, known to grind or not.  0, or -1 with err. */
int leat_coolers_look(struct leat_coolers *coolers, struct leat_coolers_unit *unit, bool grinds, bool uncertain,
    struct leat_error *err) LEAT_MUST_USE;
int leat_coolers_look_tank(struct leat_coolers *coolers, struct leat_coolers_mill *mill,
    struct leat_error *err) LEAT_MUST_USE;

/* Ends the spell that is running. */
void leat_coolers_end_spell(struct leat_coolers *coolers, struct leat_coolers_unit *unit);

/* Write what the works' day says, and empty it. */
void leat_coolers_write_day(struct leat_coolers *coolers, struct leat_coolers_unit *unit);
void leat_coolers_write_tank(struct leat_coolers *coolers, struct leat_coolers_mill *mill);

/* A row that is made, or under explain how.  value not finite: bad, and the text says why. */
struct leat_coolers_made {
	struct leat_span asset;
	const char *point, *unit;
	double value;
	int decimals;
	enum leat_quality quality;
};
void leat_coolers_put(struct leat_coolers *coolers, const struct leat_coolers_made *made, const char *fmt, ...)
    LEAT_PRINTF(3, 4);
/* Under explain only: what is not made, and why; or what holds for all of a day. */
void leat_coolers_say(struct leat_coolers *coolers, struct leat_span asset, const char *point, const char *fmt, ...)
    LEAT_PRINTF(4, 5);

/* Is it a point of a cooler, or of a mill, that is made here? */
bool leat_coolers_makes(struct leat_span point, bool mill);

/* "a temperature at the cooler not known" and so on; dst has 128 bytes. */
void leat_coolers_reason_words(char *dst, enum leat_coolers_reason reason, const struct leat_coolers_plate *plate);

#endif
