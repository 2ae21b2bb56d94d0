/*
 * leat-precharge: the nitrogen of the accumulators, added to the readings; and as a calculator.
 */
#include <math.h>

#include "derive/precharge.h"
#include "front_calc.h"
#include "front_filter.h"
#include "physics/accumulator.h"
#include "physics/nitrogen.h"

enum { FILL = FRONT_OWN, VOLUME };

static const struct option own[] = {
	{ "fill", required_argument, NULL, FILL },
	{ "precharge", required_argument, NULL, FRONT_PRECHARGES },
	{ "volume", required_argument, NULL, VOLUME },
	{ NULL, 0, NULL, 0 }
};

static const char *fill, *volume;	/* --fill and --volume, which the calculator takes */

static const char help[] =
    "Usage: leat-precharge [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                      [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                      [--now TIME] [--only] [--points FILE] [--precharge FILE]\n"
    "                      [-r FILE] [--summary] [-w DIR] [FILE ...]\n"
    "       leat-precharge [--explain] [--fill PRESSURE] [--volume VOLUME]\n"
    "                      PRESSURE TEMPERATURE [TEMPERATURE]\n"
    "Adds to readings the gas precharge of each accumulator at 20 degC by its gas\n"
    "readings, its amount, loss and filling, and each works' day whether it suits the\n"
    "grinding pressure; or prints what a gas pressure that was read at a temperature is\n"
    "at 20 degC, or at the second temperature.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each result came about\n"
    "     --fill PRESSURE          what lacks from that precharge at 20 degC\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the fillings from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --only                   print the added rows alone\n"
    "     --points FILE            take the points from FILE\n"
    "     --precharge FILE         take the maker's curve from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    "     --volume VOLUME          gas volume of the shell to be filled (50 L)\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

#define BOTTLE_L 50.0		/* a full bottle, and what is left when it no longer fills: common practice */
#define BOTTLE_FULL_BAR 200.0
#define BOTTLE_LEFT_BAR 80.0

static double air_bara;		/* at sea level: the calculator knows no works */

/* A gas pressure in bar gauge; one in an absolute unit is taken less the air. */
static double
read_pressure(const char *operand)
{
	struct front_quantity q = front_quantity(operand);
	const struct leat_unit *absolute = leat_unit_find(LEAT_SPAN("bara"));

	if (q.unit != NULL && leat_unit_same_dimension(q.unit, absolute))
		return front_quantity_in(&q, absolute) - air_bara;
	return front_quantity_in(&q, leat_unit_find(LEAT_SPAN("bar")));
}

static double
read_temperature(const char *operand)
{
	struct front_quantity q = front_quantity(operand);

	return front_quantity_in(&q, leat_unit_find(LEAT_SPAN("degC")));
}

static void
explain_step(const char *label, double mol_l, double temp_c)
{
	double temp_k = temp_c + LEAT_ZERO_C_K;

	front_print("%-12s%.5f mol/L x %.7f bar L/(mol K) x %.2f K x Z %.5f = %.3f bar absolute\n", label, mol_l,
	    LEAT_GAS_CONSTANT_BAR_L, temp_k, leat_nitrogen_z(mol_l, temp_k), leat_nitrogen_pressure_bara(mol_l, temp_k));
}

static void
explain_reading(double bar, double from_c, double to_c, double to_bar)
{
	double mol_l, ideal = (bar + air_bara) * (to_c + LEAT_ZERO_C_K) / (from_c + LEAT_ZERO_C_K) - air_bara;
	char label[32];

	if (leat_nitrogen_density(bar + air_bara, from_c + LEAT_ZERO_C_K, &mol_l) != 0)
		return;
	front_print("absolute    %.2f + %.5f bar of air at sea level = %.3f bar\n", bar, air_bara, bar + air_bara);
	explain_step("read", mol_l, from_c);
	snprintf(label, sizeof(label), "at %.3g degC", to_c);
	explain_step(label, mol_l, to_c);
	front_print("gauge       less the air %.2f bar; an ideal gas would show %.2f bar\n", to_bar, ideal);
}

static double
read_volume(void)
{
	struct front_quantity q;
	double volume_l = BOTTLE_L;

	if (volume != NULL) {
		q = front_quantity(volume);
		volume_l = front_quantity_in(&q, leat_unit_find(LEAT_SPAN("L")));
	}
	if (!(volume_l > 0))
		front_misuse("option '--volume': not a volume such as 50L: '%s'", volume);
	return volume_l;
}

/* What lacks from a precharge at 20 degC, and what the gauge shows when it is in. */
static void
print_filling(double bar, double from_c)
{
	double volume_l = read_volume(), target_bar = read_pressure(fill), is_mol, due_mol, bottle_mol, shows_bar, mol;
	double left_bar = fmax(BOTTLE_LEFT_BAR, target_bar);	/* a bottle fills up to its own pressure */

	if (leat_gas_amount(bar, from_c, volume_l, air_bara, &is_mol) != 0 || leat_gas_amount(target_bar,
	    LEAT_PRECHARGE_REFERENCE_C, volume_l, air_bara, &due_mol) != 0 || leat_nitrogen_warmed(target_bar,
	    LEAT_PRECHARGE_REFERENCE_C, from_c, air_bara, &shows_bar) != 0 || leat_gas_bottle(BOTTLE_L, BOTTLE_FULL_BAR, left_bar,
	    LEAT_PRECHARGE_REFERENCE_C, air_bara, &bottle_mol) != 0)
		front_misuse("option '--fill': outside 0 to 350 bar absolute: '%s'", fill);
	mol = due_mol - is_mol;
	if (front_opt.explain)
		front_print("bottle      %.0f L from %.0f to %.0f bar at 20 degC give %.1f mol\n"
		    "amount      %.2f mol in %.1f L, due %.2f mol\n", BOTTLE_L, BOTTLE_FULL_BAR, left_bar, bottle_mol, is_mol,
		    volume_l, due_mol);
	front_print("%s %.2f mol, %.3f kg", mol < 0 ? "let off" : "fill", fabs(mol), fabs(mol) * LEAT_NITROGEN_KG_PER_MOL);
	if (mol > 0)
		front_print(", %.2f bottles", mol / bottle_mol);
	front_print(": the gauge then shows %.1f bar at %.1f degC\n", shows_bar, from_c);
}

static void
calculate(int argc, char *const argv[])
{
	int count = argc - optind;
	double bar, from_c, to_c = LEAT_PRECHARGE_REFERENCE_C, to_bar;

	if (count < 2 || count > 3)
		front_misuse("%d operand%s: a gas pressure and its temperature are due, and at most another temperature", count,
		    count == 1 ? "" : "s");
	if (volume != NULL && fill == NULL)
		front_misuse("option '--volume': for --fill");
	air_bara = leat_atmosphere_bara(0);
	bar = read_pressure(argv[optind]);
	from_c = read_temperature(argv[optind + 1]);
	if (count == 3)
		to_c = read_temperature(argv[optind + 2]);
	if (leat_nitrogen_warmed(bar, from_c, to_c, air_bara, &to_bar) != 0)
		front_misuse("outside -20 to 90 degC or 0 to 350 bar absolute, where the equation of state holds");
	if (front_opt.explain)
		explain_reading(bar, from_c, to_c, to_bar);
	front_print("%.1f bar\n", to_bar);
	if (fill != NULL)
		print_filling(bar, from_c);
}

static int
take(void *gas, const struct leat_reading *r, struct leat_error *err)
{
	return leat_precharge_take(gas, r, err);
}

static void
derive(struct front_filter *f, struct leat_precharge *gas)
{
	struct leat_error err;
	int status = front_filter_run(f, take, gas);

	if (status == 0 && leat_precharge_end(gas, f->now, &err) != 0)
		front_error(&err);
	/* Gas readings are seldom: a night without one is worth a word only to who asked for nothing else. */
	if (status == 0 && f->no_copy && gas->readings == 0 && gas->days == 0 && !front_failed())
		front_warn("nothing to tell: no readings named gas-pressure, and no mill with pressure, state and a precharge");
	if (gas->near > 0)
		front_note("gas readings that show the oil pressure and no precharge: %lld (see --explain)", gas->near);
	front_filter_account(f);
	front_summary("gas readings: %lld, %lld of them refused; uncertain results: %lld; days of mills: %lld", gas->readings,
	    gas->refused, gas->uncertain, gas->days);
	front_summary("log entries: %zu, %lld later than now left out; rows added: %lld, earlier ones replaced: %lld",
	    gas->book->count, gas->book->later, gas->added, gas->replaced);
}

static void
take_option(int code)
{
	if (code == FILL)
		fill = optarg;
	else
		volume = optarg;
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-precharge", .help = help, .own = own, .option = take_option, .with_logbook = true };
	struct leat_precharge gas = { .explain = false };
	struct leat_precharges curves;

	front_filter_options(&f, argc, argv);
	if (front_calculates(argc, argv)) {
		calculate(argc, argv);
		return front_end();
	}
	if (fill != NULL || volume != NULL)
		front_misuse("option '--%s': for a gas pressure and a temperature as operands", fill != NULL ? "fill" : "volume");
	front_precharges(&curves);
	front_filter_open(&f, argc, argv);
	gas.in = f.in;
	gas.np = f.np;
	gas.points = &f.points;
	gas.curves = &curves;
	gas.book = &f.book;
	gas.out = f.out;
	gas.explain = f.explain;
	gas.what = f.what;
	leat_precharge_init(&gas);
	derive(&f, &gas);
	leat_precharge_free(&gas);
	leat_precharges_free(&curves);
	return front_filter_close(&f);
}
