/*
 * The nitrogen of each accumulator, by gas readings made by hand or by instrument; and of each works' day whether it suits
 * the grinding pressure.
 *
 * A shell is an asset with gas-pressure, such as MM/accu-4; the shells of one mill are its bank.  A reading shows the
 * precharge only while there is no oil pressure: the mill's state and pressure of the same instant decide.  The gas has
 * the temperature of its shell: the latest gas-temperature of the shell, else of another shell of the bank, no older than
 * an hour.  Where there is none the oil's stands in, uncertain, and the shell's own makes the result anew when it comes
 * within the hour.
 *
 * Where the set pressure changes, the target by the maker's curve is told again at the end of the day.
 *
 * The loss of a shell is the robust line through the logarithm of its amount since it was filled last, in a year at most:
 * filled by the logbook, or where the amount rose by more than any gauge and thermometer are off.
 *
 * A day's results come from the time in state grinding, weighted as in lib/derive/attain.h, with the precharge of the bank
 * as last read.  Nothing looks into the future.
 *
 * Hammer: a bladder is struck when the pressure falls near the precharge, so that it shuts its valve, and comes back.  So
 * a fall below 1.1 of the precharge at gas temperature counts when the pressure returns within ten minutes, the mill not
 * being off meanwhile, or when it has lasted for ten minutes of grinding.  A stop lets the pressure down once and it
 * stays there, a start brings it up from below: neither counts.
 *
 * Memory: one record for each shell and mill, with up to LEAT_PRECHARGE_KEPT readings of a shell.
 */
#ifndef LEAT_DERIVE_PRECHARGE_H
#define LEAT_DERIVE_PRECHARGE_H

#include "stream/mills.h"
#include "stream/nameplate.h"
#include "stream/precharges.h"
#include "upkeep/logbook.h"

#define LEAT_PRECHARGE_TOGETHER_S 3600.0	/* temperature and pressure may be so far apart */
#define LEAT_PRECHARGE_NEAR_SHARE 0.05		/* so near the oil pressure a gas reading is the oil's (common practice) */
#define LEAT_PRECHARGE_HAMMER_SHARE 1.1		/* p_min/p0 of a bladder (accumulator makers' guidance) */
#define LEAT_PRECHARGE_HAMMER_BACK 1.02		/* of that: it is back from here on (deadband of a pressure, common practice) */
#define LEAT_PRECHARGE_HAMMER_S 600.0		/* a fall that returns within it was no unloading */
#define LEAT_PRECHARGE_WEEK 7			/* days */
#define LEAT_PRECHARGE_BANK_LEAST 3		/* shells, or a bank has no median worth the name */
#define LEAT_PRECHARGE_COMPARED_S 8640000.0	/* 100 d: a good three months, the usual time between gaugings */
#define LEAT_PRECHARGE_TYPED 8			/* more readings in a day are an instrument's: ... */
#define LEAT_PRECHARGE_TOLD_S 3600.0		/* ... of those one is told in such a time */
#define LEAT_PRECHARGE_UNLOADED_S 600.0		/* from so long after grinding on a pressure counts as held, ... */
#define LEAT_PRECHARGE_UNLOADED_END_S 3600.0	/* ... and up to here: later leakage has let it down */
#define LEAT_PRECHARGE_KEPT 32			/* readings of a shell since it was filled */
#define LEAT_PRECHARGE_LOSS_S (365.25 * 86400)	/* of them, older ones would hide a leak that has begun */
#define LEAT_PRECHARGE_MONTH_S (365.25 / 12 * 86400)
#define LEAT_PRECHARGE_REFERENCE_C 20.0

/* Why a gas reading is the precharge, or is not. */
enum leat_precharge_gate {
	LEAT_PRECHARGE_GATE_OFF,	/* state off, or no oil pressure */
	LEAT_PRECHARGE_GATE_FRESH,	/* the same, but for so short a time that the gas may not have settled */
	LEAT_PRECHARGE_GATE_UNKNOWN,	/* neither is known: uncertain */
	LEAT_PRECHARGE_GATE_NEAR,	/* it is the oil pressure that was read */
	LEAT_PRECHARGE_GATE_PRESSURE,	/* there was oil pressure */
	LEAT_PRECHARGE_GATE_STATE	/* the state is another */
};

/* Private: a gas reading. */
struct leat_precharge_reading {
	struct leat_time at;
	double bar;
	enum leat_quality quality;	/* of the reading itself */
	enum leat_precharge_gate gate;
	uint32_t state;			/* word of the state, LEAT_NAME_NONE: not known */
	double oil_bar;			/* NaN: not known */
	double off_s;			/* without oil pressure for so long; NaN: since before the stream */
	double stand_in_c;		/* oil or ambient; NaN: neither */
	bool stand_in_oil;
};

/* Private: what is left of a sound reading, for the loss. */
struct leat_precharge_kept {
	struct leat_time at;
	double ln_mol_l;		/* of the gas in a shell without oil */
};

/* Private: a shell. */
struct leat_precharge_shell {
	struct leat_span asset;		/* valid while the readings are open */
	size_t mill;
	bool fresh, heated;		/* it has a gas reading, a temperature, of the instant */
	bool waiting;			/* no shell temperature has come for the reading */
	struct leat_precharge_reading read;
	bool has_heat;
	struct leat_time heat_at;
	double heat_c;
	enum leat_quality heat_quality;
	enum leat_quality latest_quality;	/* of the precharge known last; LEAT_BAD: none */
	double latest_bar;
	struct leat_time latest_at;
	enum leat_quality day_quality;	/* the last of the day; LEAT_BAD: none */
	double day_bar;
	struct leat_precharge_kept kept[LEAT_PRECHARGE_KEPT];	/* since it was filled last */
	size_t keeps;
	int day_reads;			/* gas readings in the day */
	bool day_refused;		/* and one of them was refused, and told */
	struct leat_time told_at;	/* the result told last; LEAT_TIME_NONE: none yet */
	bool aimed;			/* there is a curve for it; ... */
	double target_bar;		/* ... the target told last; NaN: none at that set pressure */
	size_t book_next;		/* the logbook's first entry that was not looked at */
};

/* Private: what a day of a mill comes to. */
struct leat_precharge_extreme {
	double ratio;			/* NaN: none */
	double bar, precharge_bar;
	struct leat_time at;
};

/* Private: a fall that counts, for explanations. */
struct leat_precharge_event {
	struct leat_time from, known;	/* the first reading below; when it was known to count */
	double bar;			/* the lowest up to then */
};
#define LEAT_PRECHARGE_EVENTS 12	/* of a day are listed */

struct leat_precharge_day {
	double known_s, grinding_s, working_s;	/* of the state: known, grinding, not off */
	double admitted_s, good_s;		/* grinding, with pressure and precharge known */
	double pressure_sum, precharge_sum, gas_sum;	/* over admitted_s */
	struct leat_precharge_extreme lowest, highest;
	double watched_s, watched_good_s;	/* not off, with pressure and precharge known; of it by good readings */
	long readings;				/* of pressure in it */
	int hammers;
	struct leat_precharge_event event[LEAT_PRECHARGE_EVENTS];
	double hammer_s, hammer_grinding_s;	/* in what counted as hammer */
	double fullest_bar;			/* the highest precharge of the fullest shell, the mill not off; NaN: none */
	double unloaded_bar;			/* NaN: none */
	bool fullest_good, unloaded_good;	/* by good readings */
	bool uncertain;				/* an uncertain precharge was used */
};

/* Private: what the nameplate says of a mill. */
struct leat_precharge_plate {
	double precharge_bar, shells, minimum_bar, working_c;	/* NaN: not given */
	double air_bara, settling_s, least_s, least_percent;
	struct leat_time until;
};

enum leat_precharge_doing {
	LEAT_PRECHARGE_NOT_KNOWN, LEAT_PRECHARGE_OFF, LEAT_PRECHARGE_NO_LOAD, LEAT_PRECHARGE_HOLD, LEAT_PRECHARGE_GRINDING,
	LEAT_PRECHARGE_RUN_UP, LEAT_PRECHARGE_FILLING
};

/* Private: a fall of the pressure of which it is not known yet whether it counts. */
struct leat_precharge_fall {
	bool armed;				/* the pressure was well above, the mill not off since */
	bool open;				/* it is below, and not back yet */
	bool counted;				/* it counts: what follows goes to the day at once */
	struct leat_time from;
	double bar;				/* the lowest since then */
	double below_s, grinding_s;		/* not given to a day yet */
	struct leat_precharge_extreme lowest;	/* likewise, while grinding */
};

struct leat_precharge_mill {
	bool begun;
	struct leat_precharge_plate plate;
	struct leat_time since;			/* counted up to here */
	enum leat_precharge_doing doing;
	bool counting;				/* the pressure has been read since grinding began */
	bool has_pressure, good;
	struct leat_time at, from;		/* its reading; counted up to here */
	double bar, gas_c;			/* gas_c NaN: not known */
	bool heat_good;				/* quality of gas_c */
	/* Of the bank at gas temperature; NaN: not known.  The fullest shell is emptied of oil first, the emptiest squeezed most. */
	double precharge_bar, fullest_bar, emptiest_bar;
	struct leat_precharge_fall fall;
	struct {
		struct leat_time end;
		int hammers;
	} week[LEAT_PRECHARGE_WEEK - 1];	/* the days before that have rows, the newest first */
	struct leat_time off_since;		/* LEAT_TIME_NONE: not off now; ... */
	bool off_known;				/* ... false: it was off before the stream began */
	struct leat_time lost_since;		/* the state is not known since then; LEAT_TIME_NONE: it is */
	double pressed_bar;			/* the last while grinding; NaN: none */
	struct leat_time unloaded_since;	/* the end of grinding; LEAT_TIME_NONE: none, or something else came since */
	double setpoint_bar;			/* the last above zero; NaN: none was read */
	struct leat_time setpoint_at;		/* since then */
	struct leat_precharge_day day;
};

/* Private: what a series is. */
struct leat_precharge_series {
	uint8_t role;
	size_t shell;
};

struct leat_precharge {
	/* The user sets these before leat_precharge_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_precharges *curves;
	const struct leat_logbook *book;	/* tells when shells were filled */
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this shell, or mill with its shells, only; empty: all */

	/* What was done. */
	long long readings, refused, near, uncertain, days, added, replaced;
	/* near: of those refused, the ones that show the oil pressure */

	/* Private. */
	struct leat_current current;
	struct leat_mills mills;
	struct leat_precharge_mill *own;	/* by number of the mill */
	size_t own_cap;
	struct leat_precharge_shell *shell;
	size_t *order;				/* shells by name */
	size_t shells, shell_cap, order_cap;
	struct leat_names shell_names;
	struct leat_precharge_series *series;
	size_t series_cap;
	const struct leat_unit *bar, *degc;
	bool touched;				/* some shell has readings of the instant */
	struct leat_time last;			/* of the rows taken last, or LEAT_TIME_NONE */
	struct leat_time day_start, day_end;
};

void leat_precharge_init(struct leat_precharge *gas);

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one
 * that is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_precharge_take(struct leat_precharge *gas, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes what is due, and the days that end up to the last reading, or up to now where that is
 * later and not LEAT_TIME_NONE.  0, or -1 with err. */
int leat_precharge_end(struct leat_precharge *gas, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_precharge_free(struct leat_precharge *gas);

#endif
