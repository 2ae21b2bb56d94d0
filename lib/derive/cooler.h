/*
 * What each oil cooler of a stream does and could do, whether its thermostat hunts or sticks, what heats the oil, and how
 * warm the tank is: lib/physics/cooler.h fed with readings and the nameplate, a result a works' day.
 *
 * A cooler is an asset with temperatures of oil or water in or out.  While the mill grinds, each spell of 20 minutes
 * (cooler-steady) is looked at as a whole: its means are a sample, or it is refused for one reason.  Which of them tell what:
 *
 *	thermostat fully open	all the oil flows through the cooler: its flow is known, so are both duties and the conductance
 *	part open		the oil's flow is not known: the conductance is not observable.  Water flow and the four
 *				temperatures give that at less oil flow, which that at full flow is not below: a lower bound
 *	no thermostat given	taken as open, and all of it is uncertain
 *
 * What hunts is seen in the oil that leaves the cooler, less the median of the two hours around each minute.
 *
 * Memory: a record for each cooler and mill, and the spells of one works' day.
 */
#ifndef LEAT_DERIVE_COOLER_H
#define LEAT_DERIVE_COOLER_H

#include "derive/cooler_swing.h"
#include "derive/minutes.h"
#include "physics/cooler.h"
#include "stream/current.h"
#include "stream/nameplate.h"

#define LEAT_COOLERS_SPELLS 160		/* in a works' day of 25 h, the shortest being 10 min, with some to spare */
#define LEAT_COOLERS_STEADY_MIN 10	/* bounds of cooler-steady */
#define LEAT_COOLERS_STEADY_MAX 60
#define LEAT_COOLERS_PUMPS 8		/* drain flows of a mill that are added up */

/* What is read at a cooler itself; then around it. */
enum leat_coolers_slot {
	LEAT_COOLERS_OIL_IN, LEAT_COOLERS_OIL_OUT, LEAT_COOLERS_WATER_IN, LEAT_COOLERS_WATER_OUT,
	LEAT_COOLERS_OIL_FLOW, LEAT_COOLERS_WATER_FLOW,
	LEAT_COOLERS_OWN,
	LEAT_COOLERS_TANK = LEAT_COOLERS_OWN, LEAT_COOLERS_AMBIENT,
	LEAT_COOLERS_SLOTS
};

/* Why a minute of grinding tells nothing of the conductance; the first that applies. */
enum leat_coolers_reason {
	LEAT_COOLERS_BROKEN,	/* its spell does not grind all through */
	LEAT_COOLERS_UNCERTAIN,	/* readings of that quality */
	LEAT_COOLERS_NO_HEAT,	/* a temperature of the oil at the cooler, or of the water, is not known */
	LEAT_COOLERS_COLD,
	LEAT_COOLERS_UNSTEADY,
	LEAT_COOLERS_PART_OPEN,
	LEAT_COOLERS_NO_FLOW,	/* neither side has flow and temperatures */
	LEAT_COOLERS_BALANCE,	/* oil and water do not agree on the heat */
	LEAT_COOLERS_IDLE,	/* the oil is hardly cooled, or heat would flow from cold to hot */
	LEAT_COOLERS_ADMITTED	/* not refused; also the number of reasons */
};

enum leat_coolers_valve { LEAT_COOLERS_OPEN, LEAT_COOLERS_PART, LEAT_COOLERS_NO_VALVE };

/* Private: what the nameplate says of a cooler; NaN: nothing. */
struct leat_coolers_plate {
	enum leat_cooler_flow flow;
	int steady_min;
	double oil_flow_lpm, water_flow_lpm, opens_c, open_c, margin_k, idle_k, warm_from_c, warm_rate_k_h, balance_percent;
	double limit_c, summer_water_c, summer_air_c, density_kg_m3, wall_w_m2k, wall_m2, tank_l, least_min, least_percent;
	struct leat_swing_rule swing;
	struct leat_time until;		/* LEAT_TIME_NONE: for good */
};

/* What a spell serves for. */
enum {
	LEAT_COOLERS_IS_STEADY = 1,	/* its oil is steady, warm or not */
	LEAT_COOLERS_IS_DUTY = 2,	/* steady and warm, and its duty is known */
	LEAT_COOLERS_IS_OPEN = 4,	/* steady and warm, and all oil flows through the cooler */
	LEAT_COOLERS_IS_UA = 8,		/* admitted: its conductance is observed */
	LEAT_COOLERS_IS_BOUND = 16	/* thermostat part open: its conductance is a lower bound */
};

/* Private: means of a spell, and what comes out.  NaN: not known. */
struct leat_coolers_spell {
	struct leat_time end;
	unsigned is;
	enum leat_coolers_valve valve;
	enum leat_coolers_reason reason;
	double mean[LEAT_COOLERS_SLOTS], warming_k_h;
	double oil_kw_k, water_kw_k;	/* capacity flows as they are */
	double full_kw_k;		/* the oil's with the valve fully open */
	double oil_kw, water_kw;	/* duty by either side */
	double duty_kw, balance_percent, ua_kw_k;
	double oil_out_c, water_out_c;	/* that the conductance goes by: as read, or found by the other side */
	double known_kw, walls_kw, stored_kw, rest_kw;
	double load_kw;			/* what the cooler would have to take at the limit in summer */
	double approach_k, index_k_kw, effectiveness_percent, share_percent;
};

/* Private: the spell that is running. */
struct leat_coolers_sum {
	int64_t number;			/* minute / steady_min; INT64_MIN: none */
	int minutes, grinding;		/* looked at; grinding and known */
	int unknown, uncertain;		/* grinding, but ... */
	double sum[LEAT_COOLERS_SLOTS];
	int count[LEAT_COOLERS_SLOTS];
	double x, y, xx, xy, base_c;	/* line of the oil's temperature */
	double known_kw;
	int knowns;
};

struct leat_coolers_unit {
	struct leat_span asset;		/* valid while the readings are open */
	size_t mill;
	uint32_t series[LEAT_COOLERS_SLOTS];	/* LEAT_NAME_NONE: never came */
	uint32_t pressure;
	bool begun;
	struct leat_coolers_plate plate;
	struct leat_coolers_sum run;
	struct leat_swing swing;
	double seen_ua;			/* last observed conductance of a works' day; NaN: none yet */
	struct leat_time seen_at;
	/* The works' day. */
	long grinding, refused[LEAT_COOLERS_ADMITTED + 1];	/* min */
	long swung, swung_uncertain;	/* min in which hunting was looked for */
	struct leat_coolers_spell spell[LEAT_COOLERS_SPELLS];
	size_t spells;
};

/* Private: a mill. */
struct leat_coolers_mill {
	struct leat_span asset;
	uint32_t state, tank, charging;	/* series; LEAT_NAME_NONE: never came */
	int valve;			/* what the charging valve was last: 1, 0, or -1 */
	size_t coolers;
	struct { uint32_t flow, pressure; } pump[LEAT_COOLERS_PUMPS];
	size_t pumps;
	uint32_t leakage, press;
	/* The tank, in the works' day. */
	struct leat_time plate_until;
	bool begun;
	double band_low_c, band_high_c, limit_c;
	long grinding, known, in_band, above, uncertain;	/* min */
	double above_k_min;
};

struct leat_coolers {
	/* The user sets these before leat_coolers_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;				/* explanations in place of rows */
	struct leat_span what;			/* explain this asset or ASSET/POINT only; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */

	/* What was done. */
	long long days, added, replaced;
	size_t coolers;

	/* Private. */
	struct leat_current current;
	struct leat_minutes minutes;
	const struct leat_unit *lpm, *degc, *bar;
	uint32_t grinding_word;
	struct leat_names mill_names, cooler_names;
	struct leat_coolers_mill *mill;
	struct leat_coolers_unit **unit;
	struct leat_coolers_series *series;
	size_t mill_cap, unit_cap, series_cap, resolved;
	struct leat_time last;			/* of the rows taken last */
};

/* 0, or -1 when memory is out. */
int leat_coolers_init(struct leat_coolers *coolers) LEAT_MUST_USE;

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one that
 * is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_coolers_take(struct leat_coolers *coolers, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the days that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE.  0, or -1 with err. */
int leat_coolers_end(struct leat_coolers *coolers, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_coolers_free(struct leat_coolers *coolers);

#endif
