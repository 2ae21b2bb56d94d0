/* A draft of tasks.csv: the usual tasks of the trade at their usual intervals, all common practice where no other source
 * is named; the machine maker's sheet and local law rank above them. */
#include "judge/draft.h"

#define ASSET_MAX 256
#define PRACTICE "common practice"

struct usual {
	const char *task, *belongs, *points;	/* the kind of asset, and readings that tell that there is one */
	const char *title, *every, *condition, *waive, *needs, *duration, *cautions, *source;
};

static const struct usual usual[] = {
	{ "gas-check", "mill", "pressure", "Read the gas precharge and shell temperature of every accumulator", "P3M", "", "",
	    "depressurised", "PT2H", "stored-energy nitrogen",
	    PRACTICE ": every 3 months on roller mills; after work on the gas side also after 1 and 8 weeks (accumulator "
	    "makers' guidance)" },
	{ "vessel-inspection", "mill", "pressure", "Have the accumulators inspected as pressure vessels", "", "", "",
	    "depressurised law", "", "stored-energy nitrogen", "local law: fill in the interval that it demands" },
	{ "hose-check", "mill", "pressure", "Look at all hoses and their dates; change those past the works' age limit", "P1Y",
	    "", "", "stop", "PT2H", "stored-energy oil", PRACTICE ": yearly; the age limit is the maker's or the works'" },
	{ "relief-test", "relief valve", "pressure|pump-pressure", "Test the relief valve and renew its certificate", "P1Y",
	    "", "", "depressurised law", "PT2H", "stored-energy valves",
	    PRACTICE ": yearly; by an authorised person, local law ranks above" },
	{ "transmitter-check", "mill", "pressure", "Compare the pressure transmitters with a calibrated gauge", "P1Y", "", "",
	    "running", "PT1H", "stored-energy oil", PRACTICE ": yearly" },
	{ "seal-leakage-test", "mill", "pressure", "Measure the leakage past the piston seals of every cylinder", "P1Y", "", "",
	    "stop", "PT4H", "stored-energy oil", PRACTICE ": yearly, at two positions of the stroke" },
	{ "pump-check", "pump", "drain-flow|pump-running", "Look at shaft seal, coupling and noise; read the case drain flow",
	    "P1M", "", "", "running", "PT30M", "oil motor", PRACTICE ": monthly" },
	{ "element-change", "element", "filter-dp", "Change the filter element", "P1Y", "clogged-filter", "", "stop", "PT1H",
	    "stored-energy oil", PRACTICE ": by differential pressure, at the latest yearly" },
	{ "cooler-cleaning", "cooler", "oil-in-temperature|oil-out-temperature", "Clean the water side of the cooler", "P1Y",
	    "", "", "stop", "PT8H", "oil", PRACTICE ": yearly before summer; earlier by its conductance" },
	{ "oil-sample", "mill", "pressure|oil-temperature", "Sample the oil at both points, two bottles each", "P1M", "wet-oil",
	    "", "running", "PT30M", "oil", PRACTICE ": monthly" },
	{ "oil-change", "mill", "pressure|oil-temperature", "Change the oil and clean the tank", "P1Y", "", "oil-verdict", "stop",
	    "P1D", "stored-energy oil", PRACTICE ": yearly, unless the analyses show that the oil is good" },
	{ "breather", "mill", "pressure|level|oil-temperature", "Change the tank breather", "P6M", "", "", "running", "PT30M",
	    "oil", PRACTICE ": twice a year (trade articles), earlier by its colour" },
	{ "tank-drain", "mill", "pressure|level|oil-temperature", "Drain water from the bottom of the tank and log its litres",
	    "P7D", "wet-oil", "", "running", "PT15M", "oil", PRACTICE ": weekly" }
};

static void
write_row(struct leat_out *out, const struct usual *u, const char *asset)
{
	const char *const cell[] = { u->task, asset, u->title, u->every, "", "", u->condition, u->waive,
		u->every[0] != '\0' ? "10%" : "", u->needs, "", u->duration, "", u->cautions, "", u->source };

	for (size_t i = 0; i < sizeof(cell) / sizeof(cell[0]); i++) {
		if (i > 0)
			leat_out_char(out, ',');
		leat_out_field(out, leat_span_of(cell[i]));
	}
	leat_out_char(out, '\n');
}

struct leat_draft_rows
leat_draft_tasks(struct leat_out *out, const struct leat_holdings *h)
{
	struct leat_draft_rows done = { 0, 0 };
	const struct usual *u;
	char asset[ASSET_MAX];
	size_t at;

	for (size_t i = 0; i < sizeof(usual) / sizeof(usual[0]); i++) {
		u = &usual[i];
		at = 0;
		while (leat_draft_asset(h, u->belongs, u->points, &at, asset, sizeof(asset))) {
			write_row(out, u, asset);
			done.rows++;
			done.empty += u->every[0] == '\0' && u->condition[0] == '\0';
		}
	}
	return done;
}
