/*
 * Which findings tell why a mill missed its pressure.
 *
 * That they cost pressure is common practice: a worn pump and leakage take the flow that holds it, lost gas the store
 * that bridges the pump's pauses, a relief valve near its setting lets oil off, hot oil slips through every gap.
 * Steps that may be the meter's (rules that end in -step) are none.
 */
#include "tell/score.h"

#include "base/number.h"

/* A finding of that rule and point; NULL: of any. */
static const struct {
	const char *rule, *point;
	enum leat_status least;		/* an alert is enough, or an alarm it must be */
	enum leat_cause cause;
} table[] = {
	{ "low-setpoint", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_SETPOINT },
	{ "pump-wear", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_PUMP },
	/* Where the jump looks like a change of the meter's scale it is an alert. */
	{ "pump-jump", NULL, LEAT_STATUS_ALARM, LEAT_CAUSE_PUMP },
	{ "leakage", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_LEAKAGE },
	{ "piston-seal", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_LEAKAGE },
	{ "leaking-seal", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_LEAKAGE },
	{ "bore-wear", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_LEAKAGE },
	{ "worn-bore", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_LEAKAGE },
	{ "relief-exceeded", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_RELIEF },
	{ "near-relief", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_RELIEF },
	{ "relief-too-low", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_RELIEF },
	{ "relief-weeps", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_RELIEF },
	{ "relief-weeps-anew", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_RELIEF },
	{ "gas-loss", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_GAS },
	{ "gas-compliance", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_GAS },
	{ "gas-low", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_GAS },
	{ "gas-leak", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_GAS },
	{ "gas-leak-bank", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_GAS },
	/* Limits of a precharge are the works' own, under names of theirs; it may be low or high. */
	{ NULL, "precharge-20", LEAT_STATUS_ALERT, LEAT_CAUSE_PRECHARGE },
	{ NULL, "precharge-deviation", LEAT_STATUS_ALERT, LEAT_CAUSE_PRECHARGE },
	{ "hot-oil", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_HOT },
	{ "hot-pump-inlet", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_HOT },
	{ "source-missing", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_NO_EXPORT },
	{ "source-failed", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_BAD_EXPORT },
	{ "source-cut", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_CUT_EXPORT },
	{ "stale", "pressure", LEAT_STATUS_ALERT, LEAT_CAUSE_LOST },
	{ "frozen-pressure", NULL, LEAT_STATUS_ALERT, LEAT_CAUSE_FROZEN }
};
#define ROWS (sizeof(table) / sizeof(table[0]))

static const char *const words[LEAT_CAUSES] = {
	[LEAT_CAUSE_STOOD] = "mill stood",
	[LEAT_CAUSE_SETPOINT] = "set point lowered",
	[LEAT_CAUSE_PUMP] = "pump worn",
	[LEAT_CAUSE_LEAKAGE] = "leakage",
	[LEAT_CAUSE_RELIEF] = "relief valve",
	[LEAT_CAUSE_GAS] = "gas low",
	[LEAT_CAUSE_PRECHARGE] = "precharge off target",
	[LEAT_CAUSE_HOT] = "hot oil",
	[LEAT_CAUSE_NO_EXPORT] = "no export",
	[LEAT_CAUSE_BAD_EXPORT] = "export cannot be read",
	[LEAT_CAUSE_CUT_EXPORT] = "export is cut short",
	[LEAT_CAUSE_LOST] = "pressure signal lost",
	[LEAT_CAUSE_FROZEN] = "pressure signal frozen"
};

/* Did it stand: no hours of grinding in the newest day that was judged? */
static bool
stood(const struct leat_item *item)
{
	const struct leat_finding *f = item->open ? item->row : item->ok;
	double hours;

	if (f == NULL || !leat_span_is(f->point, "grinding-hours"))
		return false;
	return leat_double_parse(f->value, &hours) == 0 && hours == 0;
}

/* Exports and signals that cannot be told to be there are as good as not there; all else that cannot be told is no
 * cause. */
static bool
counts(enum leat_status status, enum leat_status least, enum leat_cause cause)
{
	if (status == LEAT_STATUS_UNKNOWN)
		return cause >= LEAT_CAUSE_NO_EXPORT && cause <= LEAT_CAUSE_LOST;
	return status == LEAT_STATUS_ALARM || least == LEAT_STATUS_ALERT;
}

enum leat_cause
leat_cause_of(const struct leat_item *item)
{
	const struct leat_finding *f = item->row;

	if (stood(item))
		return LEAT_CAUSE_STOOD;
	for (size_t i = 0; item->open && i < ROWS; i++) {
		if (table[i].rule != NULL ? !leat_span_is(f->rule, table[i].rule) :
		    leat_rule_is_data(f->rule) || leat_span_ends(f->rule, "-step"))
			continue;
		if (table[i].point != NULL && !leat_span_is(f->point, table[i].point))
			continue;
		if (counts(f->status, table[i].least, table[i].cause))
			return table[i].cause;
	}
	return LEAT_CAUSES;
}

const char *
leat_cause_words(enum leat_cause cause)
{
	return words[cause];
}

bool
leat_cause_of_unknown(enum leat_cause cause)
{
	return cause == LEAT_CAUSE_STOOD || (cause >= LEAT_CAUSE_NO_EXPORT && cause < LEAT_CAUSES);
}

bool
leat_cause_of_low(enum leat_cause cause)
{
	return cause < LEAT_CAUSE_NO_EXPORT;
}
