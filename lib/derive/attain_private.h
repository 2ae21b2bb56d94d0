/*
 * Between attain.c (the stream and the flow of time), attain_look.c (a mill at one instant), attain_count.c (what
 * counts), attain_write.c (results as rows) and attain_explain.c.
 */
#ifndef LEAT_DERIVE_ATTAIN_PRIVATE_H
#define LEAT_DERIVE_ATTAIN_PRIVATE_H

#include "derive/attain.h"

enum {
	LEAT_ATTAIN_SLOT_PRESSURE, LEAT_ATTAIN_SLOT_STATE, LEAT_ATTAIN_SLOT_SETPOINT, LEAT_ATTAIN_SLOT_TANK,
	LEAT_ATTAIN_SLOT_CHARGING
};

extern const struct leat_mills_form leat_attain_form;

/* Looks at a mill at an instant after whose rows nothing more of it comes.  0, or -1 with err. */
int leat_attain_look(struct leat_attain *attain, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err);

/* Counts state and set point up to an instant.  0, or -1 when memory is out, as all below. */
int leat_attain_pass_time(struct leat_attain_mill *own, struct leat_time at);

/* Takes in the reading of a track that came at an instant; stays: the mill was and is grinding. */
int leat_attain_apply(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time at, bool stays);

/* Counts a track up to an instant at which it was not read: its value is held. */
int leat_attain_cut(struct leat_attain_mill *own, struct leat_attain_track *track, struct leat_time at);

/* How far the pressure may lie from the set point. */
double leat_attain_tolerance(const struct leat_attain_plate *plate, double setpoint_bar);

/* Looks up the settings of compensators at an instant: of all pumps, or of those that are new. */
void leat_attain_demand_settings(const struct leat_attain *attain, struct leat_attain_mill *own, struct leat_time at,
    bool all);

/* Whether the mill takes nothing of its pumps at an instant. */
enum leat_attain_idle leat_attain_demand_idle(const struct leat_attain *attain, const struct leat_attain_mill *own,
    const struct leat_mill *mill, struct leat_time seen);

/* Adds a line of a pump's pressure at no demand, between two values (bar); sure: by good readings, the charging valve shut.
 * Far from the setting of the compensator it is left out.  0, or -1 when memory is out. */
int leat_attain_demand_add(struct leat_attain_track *track, double seconds, double from, double to, bool sure);
void leat_attain_demand_reset(struct leat_attain_track *track);

/* The pressure at which the pump was longest, and the seconds at no demand, of them those that are sure.  NaN: none. */
double leat_attain_demand_mode(const struct leat_attain_track *track, double *seconds, double *sure_s);

/* What is worth an observed pressure of a compensator. */
enum leat_quality leat_attain_demand_worth(const struct leat_attain_mill *own, double seconds, double sure_s);

/* What the mill lacks, as of the end of the day. */
bool leat_attain_lacks(struct leat_attain *attain, const struct leat_mill *mill, enum leat_attain_lack lack);

/* Begins a day anew at an instant. */
void leat_attain_reset_day(struct leat_attain_mill *own, struct leat_time at);

/* A number of the nameplate, NaN where it has none. */
double leat_attain_plate_number(const struct leat_attain *attain, struct leat_span asset, const char *property,
    struct leat_time at);

/* The name of a part of a mill, in attain->name: valid until the next call.  Empty when memory is out. */
struct leat_span leat_attain_part(struct leat_attain *attain, struct leat_span mill, const char *part);

/* The track of a side at an asset, or NULL. */
const struct leat_attain_track *leat_attain_track_of(const struct leat_attain_mill *own, struct leat_span asset,
    enum leat_attain_side side);

/* What a result is worth that rests on so many seconds, of them so many good, of the grinding time of the day. */
enum leat_quality leat_attain_worth(const struct leat_attain_mill *own, double seconds, double good_s);

/* The force of an asset of a mill; by is the track on the side that presses, head that on the other.  False: not
 * known. */
struct leat_attain_force {
	const struct leat_attain_track *by, *head;
	double bore_mm, rod_mm, kn;
	enum leat_quality quality;
};
bool leat_attain_force_of(const struct leat_attain *attain, const struct leat_attain_mill *own,
    const struct leat_attain_track *by, struct leat_attain_force *force);

/* The relief valve: of the pressures in front of it, the longest time near its setting and the longest time known. */
void leat_attain_relief_times(const struct leat_attain_mill *own, double *near_s, double *valid_s);
enum leat_quality leat_attain_relief_worth(const struct leat_attain *attain, const struct leat_attain_mill *own,
    double valid_s, bool good);

/* Spread of the cylinders' mean pressures; of fewer than two that count there is none. */
struct leat_attain_spread {
	const struct leat_attain_track *highest, *lowest;
	double bar;
	size_t cylinders, counted;	/* read at all, and long enough to count */
	enum leat_quality quality;
};
void leat_attain_spread_of(const struct leat_attain_mill *own, struct leat_attain_spread *spread);

/* Writes the rows, or the explanation, of a mill's day.  0, or -1 when memory is out. */
int leat_attain_write_day(struct leat_attain *attain, const struct leat_mill *mill);
void leat_attain_explain_day(struct leat_attain *attain, const struct leat_mill *mill);

#endif
