/* The nitrogen of accumulators: a mill at one instant, and what counts of its day. */
#include <math.h>

#include "derive/precharge_private.h"
#include "physics/mill_state.h"
#include "physics/nitrogen.h"

const struct leat_mills_form leat_precharge_form = {
	.point = { "pressure", "state", "pressure-setpoint", "oil-temperature", "ambient-temperature" },
	.points = 5, .founding = 2
};

double
leat_precharge_plate_number(const struct leat_precharge *gas, struct leat_span asset, const char *property,
    struct leat_time at)
{
	double value;

	return leat_nameplate_number(gas->np, asset, property, at, &value) == 0 ? value : NAN;
}

int
leat_precharge_slot(const struct leat_precharge *gas, const struct leat_mill *mill, size_t slot, struct leat_time seen,
    double *value, enum leat_quality *quality, struct leat_error *err)
{
	const struct leat_latest *latest = leat_mills_latest(&gas->mills, mill, slot, seen);
	const struct leat_unit *own = slot >= LEAT_PRECHARGE_SLOT_OIL ? gas->degc : gas->bar;

	*value = NAN;
	*quality = LEAT_BAD;
	if (latest == NULL || !latest->is_number)
		return 0;
	*quality = latest->quality;
	*value = latest->number;
	if (latest->unit == own || latest->unit_len == 0)
		return 0;
	if (latest->unit == NULL || !leat_unit_same_dimension(latest->unit, own))
		return leat_error_set(err, "'%s' of '%.*s' comes in '%.*s', where '%s' or a unit of its dimension is due",
		    leat_precharge_form.point[slot], (int)mill->asset.len, mill->asset.ptr,
		    latest->unit_len < sizeof(latest->unit_text) ? (int)latest->unit_len : (int)sizeof(latest->unit_text),
		    latest->unit_text, own->name);
	*value = leat_unit_convert(latest->unit, own, latest->number);
	return 0;
}

static void
read_plate(const struct leat_precharge *gas, struct leat_precharge_plate *plate, struct leat_span mill, struct leat_time at)
{
	plate->precharge_bar = leat_precharge_plate_number(gas, mill, "precharge", at);
	plate->shells = leat_precharge_plate_number(gas, mill, "shells", at);
	plate->minimum_bar = leat_precharge_plate_number(gas, mill, "minimum-pressure", at);
	plate->working_c = leat_precharge_plate_number(gas, mill, "working-temperature", at);
	plate->air_bara = leat_atmosphere_bara(leat_precharge_plate_number(gas, mill, "altitude", at));
	plate->settling_s = leat_precharge_plate_number(gas, mill, "gas-settling", at) * 60;
	plate->least_s = leat_precharge_plate_number(gas, mill, "admitted-least", at) * 60;
	plate->least_percent = leat_precharge_plate_number(gas, mill, "coverage-least", at);
	plate->until = leat_nameplate_next(gas->np, at);
}

struct leat_precharge_bank
leat_precharge_bank_of(const struct leat_precharge *gas, size_t mill)
{
	const struct leat_precharge_plate *plate = &gas->own[mill].plate;
	struct leat_precharge_bank bank = { .bar = NAN, .highest_bar = NAN, .lowest_bar = NAN,
		.others_bar = plate->precharge_bar };
	double sum = 0;

	for (size_t i = 0; i < gas->shells; i++) {
		const struct leat_precharge_shell *shell = &gas->shell[i];

		if (shell->mill != mill || shell->latest_quality == LEAT_BAD)
			continue;
		bank.uncertain = bank.uncertain || shell->latest_quality == LEAT_UNCERTAIN;
		if (leat_span_eq(shell->asset, leat_asset_mill(shell->asset))) {
			bank.gauged = true;
			bank.others_bar = shell->latest_bar;
			continue;
		}
		bank.read++;
		sum += shell->latest_bar;
		bank.highest_bar = fmax(bank.highest_bar, shell->latest_bar);
		bank.lowest_bar = fmin(bank.lowest_bar, shell->latest_bar);
	}
	/* A shell that was not read has what the gauge of the bank showed, else what the nameplate says. */
	if ((bank.gauged || bank.others_bar > 0) && (bank.read == 0 || plate->shells > (double)bank.read))
		bank.others = bank.read == 0 && !(plate->shells > 0) ? 1 : plate->shells - (double)bank.read;
	if (bank.others > 0) {
		sum += bank.others * bank.others_bar;
		bank.highest_bar = fmax(bank.highest_bar, bank.others_bar);
		bank.lowest_bar = fmin(bank.lowest_bar, bank.others_bar);
	}
	if ((double)bank.read + bank.others > 0)
		bank.bar = sum / ((double)bank.read + bank.others);
	return bank;
}

/* A precharge at gas temperature, which is held within the range of the equation of state. */
static double
at_work(const struct leat_precharge_mill *own, double bar)
{
	double gas_c = fmin(fmax(own->gas_c, LEAT_NITROGEN_TEMP_MIN_C), LEAT_NITROGEN_TEMP_MAX_C), warm_bar;

	return !isnan(bar) && leat_nitrogen_warmed(bar, LEAT_PRECHARGE_REFERENCE_C, gas_c, own->plate.air_bara, &warm_bar) == 0 ?
	    warm_bar : NAN;
}

void
leat_precharge_refresh(struct leat_precharge *gas, size_t mill)
{
	struct leat_precharge_mill *own = &gas->own[mill];
	struct leat_precharge_bank bank;

	own->precharge_bar = own->fullest_bar = own->emptiest_bar = NAN;
	if (!own->begun || isnan(own->gas_c))
		return;
	bank = leat_precharge_bank_of(gas, mill);
	own->precharge_bar = at_work(own, bank.bar);
	own->fullest_bar = at_work(own, bank.highest_bar);
	own->emptiest_bar = at_work(own, bank.lowest_bar);
}

/* The share of a straight line between two values that lies below a limit. */
static double
share_below(double from, double to, double limit)
{
	double low = fmin(from, to), high = fmax(from, to);

	return high < limit ? 1 : low >= limit ? 0 : (limit - low) / (high - low);
}

/* A line of the pressure from own->from to an instant, in what the mill did up to it. */
static void
count(struct leat_precharge_mill *own, struct leat_time until, double from, double to, bool good)
{
	struct leat_precharge_day *day = &own->day;
	double seconds = leat_time_diff(until, own->from);

	if (!(seconds > 0) || isnan(own->precharge_bar) || own->doing < LEAT_PRECHARGE_NO_LOAD)
		return;
	good = good && own->heat_good;
	day->watched_s += seconds;
	if (good)
		day->watched_good_s += seconds;
	leat_precharge_hammer_time(own, seconds * share_below(from, to, leat_precharge_hammer_below(own)));
	if (own->doing != LEAT_PRECHARGE_GRINDING || !own->counting)
		return;
	day->admitted_s += seconds;
	if (good)
		day->good_s += seconds;
	day->pressure_sum += seconds * (from + to) / 2;
	day->precharge_sum += seconds * own->precharge_bar;
	day->gas_sum += seconds * own->gas_c;
}

/* The time of the state. */
static void
pass_time(struct leat_precharge_mill *own, struct leat_time at)
{
	double seconds = leat_time_diff(at, own->since);

	own->since = at;
	if (own->doing == LEAT_PRECHARGE_NOT_KNOWN || !(seconds > 0))
		return;
	own->day.known_s += seconds;
	if (own->doing >= LEAT_PRECHARGE_NO_LOAD)
		own->day.working_s += seconds;
	if (own->doing == LEAT_PRECHARGE_GRINDING)
		own->day.grinding_s += seconds;
}

/* The last value is held up to an instant at which none was read. */
static void
hold(struct leat_precharge_mill *own, struct leat_time at)
{
	if (!own->has_pressure || leat_time_cmp(at, own->from) <= 0)
		return;
	count(own, at, own->bar, own->bar, own->good);
	own->from = at;
}

void
leat_precharge_cut(struct leat_precharge_mill *own, struct leat_time at)
{
	pass_time(own, at);
	hold(own, at);
}

void
leat_precharge_reset_day(struct leat_precharge_mill *own)
{
	own->day = (struct leat_precharge_day){ .lowest.ratio = NAN, .highest.ratio = NAN, .fullest_bar = NAN,
	    .unloaded_bar = NAN };
}

/* A new reading: the line to it, unless the mill did something else meanwhile. */
static void
apply(struct leat_precharge_mill *own, struct leat_time at, double bar, bool good, bool stays)
{
	double from;

	if (own->has_pressure && stays) {
		from = own->bar + (bar - own->bar) * (leat_time_diff(own->from, own->at) / leat_time_diff(at, own->at));
		count(own, at, from, bar, own->good && good);
	} else {
		hold(own, at);
	}
	own->has_pressure = true;
	own->at = own->from = at;
	own->bar = bar;
	own->good = good;
}

/* The valve's pressure is what stays when the mill has been unloaded.  A pressure that was shut in is nearer to the one
 * pressed with, and says nothing of the valve. */
static void
note_unloaded(struct leat_precharge_mill *own)
{
	double since_s, between = (own->plate.minimum_bar + own->pressed_bar) / 2;

	if (leat_time_is_none(own->unloaded_since) || !(own->bar < between))
		return;
	since_s = leat_time_diff(own->at, own->unloaded_since);
	if (since_s < LEAT_PRECHARGE_UNLOADED_S || since_s > LEAT_PRECHARGE_UNLOADED_END_S ||
	    own->bar >= own->day.unloaded_bar)
		return;
	own->day.unloaded_bar = own->bar;
	own->day.unloaded_good = own->good;
}

/* A reading that has just been taken in, in what the mill does now. */
static void
note_reading(struct leat_precharge_mill *own)
{
	struct leat_precharge_day *day = &own->day;

	if (own->doing >= LEAT_PRECHARGE_NO_LOAD && !isnan(own->precharge_bar))
		day->readings++;
	note_unloaded(own);
	if (isnan(own->precharge_bar) || own->doing != LEAT_PRECHARGE_GRINDING)
		return;
	leat_precharge_hammer_lowest(own);
	/* Of a shell without gas there is no ratio. */
	if (own->emptiest_bar > 0 && !(day->highest.ratio >= own->bar / own->emptiest_bar))
		leat_precharge_note(&day->highest, own, own->emptiest_bar);
}

static enum leat_precharge_doing
doing_of(const struct leat_precharge *gas, const struct leat_mill *mill, struct leat_time seen)
{
	static const struct {
		const char *word;
		enum leat_precharge_doing doing;
	} words[] = {
		{ "off", LEAT_PRECHARGE_OFF }, { "no-load", LEAT_PRECHARGE_NO_LOAD }, { "grinding", LEAT_PRECHARGE_GRINDING },
		{ "run-up", LEAT_PRECHARGE_RUN_UP }, { "hold", LEAT_PRECHARGE_HOLD }, { "pump-up", LEAT_PRECHARGE_FILLING }
	};
	const struct leat_latest *state = leat_mills_latest(&gas->mills, mill, LEAT_PRECHARGE_SLOT_STATE, seen);

	if (state == NULL || state->is_number || state->word == LEAT_NAME_NONE)
		return LEAT_PRECHARGE_NOT_KNOWN;
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (leat_span_is(gas->current.words.name[state->word], words[i].word))
			return words[i].doing;
	return LEAT_PRECHARGE_NOT_KNOWN;
}

/* The mill begins to do something else. */
static void
change(struct leat_precharge_mill *own, enum leat_precharge_doing doing, struct leat_time at, bool first)
{
	bool lapse = !leat_time_is_none(own->lost_since) && leat_time_diff(at, own->lost_since) <= own->plate.settling_s;

	/* Nobody presses a mill and lets it down again in a short lapse of the readings. */
	if (doing == LEAT_PRECHARGE_OFF && (leat_time_is_none(own->off_since) || !lapse)) {
		own->off_since = at;
		own->off_known = !first;
	} else if (doing > LEAT_PRECHARGE_OFF) {
		own->off_since = LEAT_TIME_NONE;
	}
	own->lost_since = doing == LEAT_PRECHARGE_NOT_KNOWN ? at : LEAT_TIME_NONE;
	/* After a start the shells are empty of oil, and no valve keeps any in. */
	if (doing != LEAT_PRECHARGE_NO_LOAD && doing != LEAT_PRECHARGE_HOLD)
		own->unloaded_since = LEAT_TIME_NONE;
	else if (own->doing == LEAT_PRECHARGE_GRINDING)
		own->unloaded_since = at;
	own->doing = doing;
}

static int
take_setpoint(const struct leat_precharge *gas, struct leat_precharge_mill *own, const struct leat_mill *mill,
    struct leat_time at, struct leat_time seen, struct leat_error *err)
{
	enum leat_quality quality;
	double bar;

	if (leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_SETPOINT, seen, &bar, &quality, err) != 0)
		return -1;
	/* Some controls put the set point to zero at a stop. */
	if (bar > 0 && bar != own->setpoint_bar) {
		own->setpoint_bar = bar;
		own->setpoint_at = at;
	}
	return 0;
}

static void
begin(struct leat_precharge_mill *own, struct leat_time at)
{
	own->begun = true;
	own->since = at;
	own->gas_c = own->precharge_bar = own->fullest_bar = own->emptiest_bar = NAN;
	own->setpoint_bar = own->pressed_bar = own->fall.lowest.ratio = NAN;
	own->off_since = own->unloaded_since = own->lost_since = LEAT_TIME_NONE;
	leat_precharge_reset_day(own);
	for (size_t i = 0; i < LEAT_PRECHARGE_WEEK - 1; i++)
		own->week[i].end = LEAT_TIME_NONE;
}

int
leat_precharge_look(struct leat_precharge *gas, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err)
{
	size_t number = (size_t)(mill - gas->mills.mill);
	struct leat_precharge_mill *own = &gas->own[number];
	enum leat_precharge_doing doing = doing_of(gas, mill, seen);
	const struct leat_latest *latest = leat_mills_latest(&gas->mills, mill, LEAT_PRECHARGE_SLOT_PRESSURE, seen);
	bool first = !own->begun, read = latest != NULL && leat_time_cmp(latest->time, at) == 0;
	enum leat_quality quality, oil_quality;
	double bar, gas_c;
	bool plate_due;

	if (first)
		begin(own, at);
	plate_due = first || (!leat_time_is_none(own->plate.until) && leat_time_cmp(at, own->plate.until) >= 0);
	if (plate_due)
		read_plate(gas, &own->plate, mill->asset, at);
	if (leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_PRESSURE, seen, &bar, &quality, err) != 0 ||
	    leat_precharge_slot(gas, mill, LEAT_PRECHARGE_SLOT_OIL, seen, &gas_c, &oil_quality, err) != 0 ||
	    take_setpoint(gas, own, mill, at, seen, err) != 0)
		return -1;
	pass_time(own, at);
	if (read && !isnan(bar))
		apply(own, at, bar, quality == LEAT_GOOD, doing == own->doing);
	else if (isnan(bar) || doing != own->doing)
		hold(own, at);
	own->has_pressure = own->has_pressure && !isnan(bar);
	own->counting = doing == LEAT_PRECHARGE_GRINDING && ((read && !isnan(bar)) || (own->counting && doing == own->doing));
	if (doing != own->doing)
		change(own, doing, at, first);
	if (mill->series[LEAT_PRECHARGE_SLOT_OIL] == LEAT_NAME_NONE)
		gas_c = own->plate.working_c;
	own->heat_good = mill->series[LEAT_PRECHARGE_SLOT_OIL] == LEAT_NAME_NONE || oil_quality == LEAT_GOOD;
	if (plate_due || gas_c != own->gas_c) {
		own->gas_c = gas_c;
		leat_precharge_refresh(gas, number);
	}
	if (doing >= LEAT_PRECHARGE_NO_LOAD && !isnan(own->fullest_bar) && !(own->day.fullest_bar >= own->fullest_bar)) {
		own->day.fullest_bar = own->fullest_bar;
		own->day.fullest_good = own->heat_good;
	}
	leat_precharge_hammer_look(own, at, read);
	if (read && own->has_pressure)
		note_reading(own);
	if (doing == LEAT_PRECHARGE_GRINDING && own->has_pressure && !own->fall.open)
		own->pressed_bar = own->bar;
	leat_mills_wake(&gas->mills, mill, own->plate.until);
	return 0;
}
