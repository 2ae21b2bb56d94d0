/*
 * Particle contamination of oil as codes and classes: ISO 4406 scale numbers, SAE AS4059 and NAS 1638 classes.
 *
 * A class comes from the standard's table, whose limits are rounded, and never from a logarithm: 640 to 1300 and 1300 to
 * 2500 are steps of one, too.  "More than ... up to and including ...": a count on a boundary belongs to the lower class.
 *
 * Sources of the tables: ISO 4406:1999 Table 1, as reproduced in a lube source handbook (Petro-Canada, glossary) and a filter
 * catalogue (Schroeder, appendix p. 128), equal in all rows; AS4059 Table 2 (cumulative) after Schroeder p. 16 and a second
 * public copy; NAS 1638 (January 1964) after a comparison sheet (Swift-JB) and a second public copy.
 */
#ifndef LEAT_PHYSICS_CLEANLINESS_H
#define LEAT_PHYSICS_CLEANLINESS_H

#include "base/error.h"
#include "base/span.h"

/* Sizes that are counted, each "and larger", in um(c) after ISO 11171; beside it the size by microscope or ISO 4402 that
 * corresponds to it (AS4059 as in Schroeder p. 16, ISO 4406:1999 clause 3.1). */
enum leat_particle {
	LEAT_PARTICLE_4,	/* 1 um */
	LEAT_PARTICLE_6,	/* 5 um */
	LEAT_PARTICLE_14,	/* 15 um */
	LEAT_PARTICLE_21,	/* 25 um */
	LEAT_PARTICLE_38,	/* 50 um */
	LEAT_PARTICLE_70,	/* 100 um */
	LEAT_PARTICLES
};

extern const int leat_particle_um[LEAT_PARTICLES];		/* 4, 6, 14 ... */
extern const int leat_particle_microscope_um[LEAT_PARTICLES];	/* 1, 5, 15 ... */

/* ISO 4406.  Its code has the first three sizes. */
#define LEAT_ISO4406_PLACES 3
#define LEAT_ISO4406_LAST 28
#define LEAT_ISO4406_OVER 29		/* more than the table has: written ">28" */
#define LEAT_ISO4406_NOT_COUNTED (-1)	/* "-" */
#define LEAT_ISO4406_TOO_MANY (-2)	/* "*": too many to count */

/* Fewer particles than this counted in the raw sample: the scale number is written with ">=" before it. */
#define LEAT_ISO4406_FEW 20

/* The scale number of a count per mL: 0..28 or LEAT_ISO4406_OVER; LEAT_ISO4406_NOT_COUNTED for what is no count (below 0,
 * not finite). */
int leat_iso4406_number(double per_ml);

/* The upper limit of a scale number 0..28, per mL; infinity above. */
double leat_iso4406_limit(int number);

struct leat_iso4406 {
	int number[LEAT_ISO4406_PLACES];
	bool few[LEAT_ISO4406_PLACES];	/* ">=" before it */
};

#define LEAT_ISO4406_MAX 24	/* bytes that hold any code written below, with its NUL */

/* Writes "18/16/13", "-/16/13", "14/12/>=7".  Returns the length. */
size_t leat_iso4406_write(char *dst, const struct leat_iso4406 *code);

/* Reads a code of three places, or of two (5 and 15 um by microscope, which are the last two places).  Leading zeros and
 * blanks around a place do not count.  0, or -1 with *why in words: what is wrong, for a code that a spreadsheet has turned
 * into a date what happened. */
int leat_iso4406_parse(struct leat_span text, struct leat_iso4406 *code, const char **why) LEAT_MUST_USE;

/* Is it the text or serial number of a date, as a spreadsheet makes one of 12/10/08?  That text itself is a code. */
bool leat_iso4406_date(struct leat_span text);

/* Do the numbers, or the counts of the sizes whose bit (1 << size) is in has, rise with size?  Counts are cumulative, so
 * those of a sound sample never do. */
bool leat_iso4406_rises(const struct leat_iso4406 *code);
bool leat_particles_rise(const double per_ml[LEAT_PARTICLES], unsigned has);

/* The largest number of scale numbers by which code lies above target, negative when all lie below, over the places that
 * have a number in both.  Returns how many places those are. */
int leat_iso4406_above(const struct leat_iso4406 *code, const struct leat_iso4406 *target, int *above);

/* AS4059, cumulative counts: the sizes are letters A to F, the classes 000, 00, 0, 1 .. 12. */
#define LEAT_AS4059_CLASSES 15		/* as number of a class: more than class 12 */
int leat_as4059_class(enum leat_particle size, double per_ml);	/* 0 is class 000; -1 for what is no count */
const char *leat_as4059_name(int number);			/* "000" .. "12", ">12" */
double leat_as4059_limit(enum leat_particle size, int number);	/* per 100 mL */
#define LEAT_AS4059_MAX 48

/* Writes the class of each size whose bit (1 << size) is in has, as in "7A/6B/5C".  Returns the length. */
size_t leat_as4059_write(char *dst, const double per_ml[LEAT_PARTICLES], unsigned has);

/* NAS 1638, counts in bands: 5-15, 15-25, 25-50, 50-100, over 100 um.  The band from one size to the next is the
 * difference of their cumulative counts.  Classes 00, 0, 1 .. 12.  AS4059 Table 1 has the same limits from 6 um(c) on. */
#define LEAT_NAS1638_BANDS 5
#define LEAT_NAS1638_CLASSES 14		/* as number of a class: more than class 12 */
int leat_nas1638_band(int band, double per_ml);			/* 0 is class 00; -1 for what is no count */
const char *leat_nas1638_name(int number);			/* "00" .. "12", ">12" */
double leat_nas1638_limit(int band, int number);		/* per 100 mL */

/* The class of each band that the sizes in has allow, -1 for the others.  Returns that of the worst band, which is the
 * usual way to quote it (common practice: the standard does not say), or -1 when there is none. */
int leat_nas1638_class(const double per_ml[LEAT_PARTICLES], unsigned has, int band[LEAT_NAS1638_BANDS]);

#endif
