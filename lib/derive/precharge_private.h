/*
 * Between precharge.c (the stream and the flow of time), precharge_shell.c (a gas reading), precharge_day.c (a mill at one
 * instant), precharge_hammer.c, precharge_loss.c, precharge_write.c (results as rows) and precharge_explain.c.
 */
#ifndef LEAT_DERIVE_PRECHARGE_PRIVATE_H
#define LEAT_DERIVE_PRECHARGE_PRIVATE_H

#include "derive/precharge.h"

enum {
	LEAT_PRECHARGE_SLOT_PRESSURE, LEAT_PRECHARGE_SLOT_STATE, LEAT_PRECHARGE_SLOT_SETPOINT, LEAT_PRECHARGE_SLOT_OIL,
	LEAT_PRECHARGE_SLOT_AMBIENT
};

/* Where the temperature came from. */
enum leat_precharge_heat {
	LEAT_PRECHARGE_HEAT_OWN, LEAT_PRECHARGE_HEAT_BANK, LEAT_PRECHARGE_HEAT_OIL, LEAT_PRECHARGE_HEAT_AMBIENT,
	LEAT_PRECHARGE_HEAT_NONE
};

/* Where the target came from. */
enum leat_precharge_aim {
	LEAT_PRECHARGE_AIM_CURVE, LEAT_PRECHARGE_AIM_PLATE,
	LEAT_PRECHARGE_AIM_OUTSIDE,	/* the curve does not reach the set pressure */
	LEAT_PRECHARGE_AIM_UNSET,	/* there is a curve, but no set pressure */
	LEAT_PRECHARGE_AIM_NONE
};

/* What the readings of a shell since it was filled tell of its loss. */
struct leat_precharge_loss {
	size_t readings;		/* sound ones since it was filled, a day one at most */
	struct leat_precharge_kept kept[LEAT_PRECHARGE_KEPT];
	struct leat_time from, to;
	double least_d, gauging_percent, rise_percent;	/* by the nameplate */
	double percent_month;		/* NaN: cannot be told */
	double newest_percent_month;	/* by the newest two alone; NaN: likewise */
	bool filled;			/* the logbook tells that it was filled since the reading before: told is the filling before */
	bool found;			/* and with which pressure it was found; */
	double found_bar;
	struct leat_time filled_at;
	bool rose;			/* the amount rose without an entry of the logbook */
};

/* What becomes of a gas reading. */
struct leat_precharge_result {
	const struct leat_precharge_shell *shell;
	const struct leat_precharge_reading *read;
	struct leat_time at;			/* when it is known */
	enum leat_precharge_heat heat;
	const struct leat_precharge_shell *heat_of;
	double gas_c, air_bara, altitude_m;
	bool outside;				/* of the range of the equation of state */
	double density_mol_l, precharge_bar;	/* at 20 degC; NaN: none */
	double per_kelvin_bar, per_bar_bar;	/* what 1 K of the temperature and 1 bar of the gauge make of it */
	double volume_l, amount_mol;		/* NaN: none */
	enum leat_precharge_aim aim;
	struct leat_precharge_point curve;
	double set_bar, target_bar, fill_mol;	/* NaN: none */
	double plate_bar, share_percent;	/* precharge as set, and the amount in percent of that; NaN: none */
	struct leat_precharge_loss loss;
	bool set_read;
	struct leat_time set_at;
	double bottle_l, full_bar, left_bar, bottle_mol;
	double shows_bar;			/* what the gauge shows at gas_c when the target is reached */
	enum leat_quality quality;
};

/* precharge.c: is it a shell, that is an asset with gas readings, or a point of one? */
bool leat_precharge_is_shell(const struct leat_precharge *gas, struct leat_span asset);

/* precharge_day.c */
extern const struct leat_mills_form leat_precharge_form;
double leat_precharge_plate_number(const struct leat_precharge *gas, struct leat_span asset, const char *property,
    struct leat_time at);
/* The latest number of a slot of a mill in that unit, NaN where there is none.  0, or -1 with err. */
int leat_precharge_slot(const struct leat_precharge *gas, const struct leat_mill *mill, size_t slot, struct leat_time seen,
    double *value, enum leat_quality *quality, struct leat_error *err);
int leat_precharge_look(struct leat_precharge *gas, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err);
/* The precharge of a mill's bank at 20 degC, NaN where none is known; uncertain when one that counts is. */
struct leat_precharge_bank {
	double bar, highest_bar, lowest_bar;	/* in the mean, of the fullest and of the emptiest shell */
	size_t read;			/* shells with a reading */
	double others, others_bar;	/* shells without one, for which the gauge of the bank, else the nameplate, serves */
	bool gauged, uncertain;		/* by that gauge */
};
struct leat_precharge_bank leat_precharge_bank_of(const struct leat_precharge *gas, size_t mill);
/* The shells' precharges have changed. */
void leat_precharge_refresh(struct leat_precharge *gas, size_t mill);
/* Counts up to the end of the day. */
void leat_precharge_cut(struct leat_precharge_mill *own, struct leat_time at);
void leat_precharge_reset_day(struct leat_precharge_mill *own);

/* precharge_shell.c: the gate of a reading at an instant, and what becomes of it. */
int leat_precharge_gate_of(struct leat_precharge *gas, struct leat_precharge_shell *shell, struct leat_error *err);
void leat_precharge_work_out(const struct leat_precharge *gas, const struct leat_precharge_shell *shell, struct leat_time at,
    struct leat_precharge_result *result);

/* At the end of a day: the targets of a mill's shells that another set pressure has moved. */
void leat_precharge_retarget(struct leat_precharge *gas, size_t mill);

/* precharge_loss.c: takes a reading that was worked out into the shell's history, and tells its loss. */
int leat_precharge_follow(struct leat_precharge *gas, struct leat_precharge_shell *shell,
    struct leat_precharge_result *result, struct leat_error *err);

/* precharge_hammer.c: a stretch of time below the limit; the mill as it is now, read: a pressure has come;
 * a pressure while grinding. */
double leat_precharge_hammer_below(const struct leat_precharge_mill *own);
void leat_precharge_hammer_time(struct leat_precharge_mill *own, double below_s);
void leat_precharge_hammer_look(struct leat_precharge_mill *own, struct leat_time at, bool read);
void leat_precharge_hammer_lowest(struct leat_precharge_mill *own);
/* Events of the seven days that end with this one; the day is over. */
int leat_precharge_week(const struct leat_precharge_mill *own, struct leat_time day_end);
void leat_precharge_week_end(struct leat_precharge_mill *own, struct leat_time day_end);
void leat_precharge_note(struct leat_precharge_extreme *extreme, const struct leat_precharge_mill *own, double precharge_bar);

/* precharge_write.c */
void leat_precharge_write_shell(struct leat_precharge *gas, const struct leat_precharge_result *result);
void leat_precharge_write_target(struct leat_precharge *gas, const struct leat_precharge_result *result);
void leat_precharge_write_spread(struct leat_precharge *gas, size_t mill);
void leat_precharge_write_day(struct leat_precharge *gas, size_t mill);
enum leat_quality leat_precharge_worth(const struct leat_precharge_mill *own, double seconds, double good_s, double of_s);
/* The median precharge of the bank's shells by their last readings; how many count, and the worst quality. */
size_t leat_precharge_median(const struct leat_precharge *gas, size_t mill, double *bar, enum leat_quality *quality);

/* precharge_explain.c */
void leat_precharge_explain_shell(struct leat_precharge *gas, const struct leat_precharge_result *result);
void leat_precharge_explain_target(struct leat_precharge *gas, const struct leat_precharge_result *result);
void leat_precharge_explain_spread(struct leat_precharge *gas, size_t mill, double median_bar, size_t count,
    size_t read);
void leat_precharge_explain_day(struct leat_precharge *gas, size_t mill);

#endif
