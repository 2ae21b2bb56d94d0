/*
 * leat-bore: wear of bores and leakage past piston seals as measured at stops, added to the readings; and as a calculator.
 */
#include <math.h>

#include "derive/bore.h"
#include "front_calc.h"
#include "front_filter.h"
#include "physics/bore.h"

static const char help[] =
    "Usage: leat-bore [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                 [--max-rejects N|N%] [--nameplate FILE] [--now TIME] [--only]\n"
    "                 [--points FILE] [-r FILE] [--summary] [-w DIR] [FILE ...]\n"
    "       leat-bore [--explain] DIAMETER BORE-TEMPERATURE RING-TEMPERATURE [NEW]\n"
    "       leat-bore [--explain] VOLUME TIME [BORE]\n"
    "       leat-bore [--explain] FLOW [BORE]\n"
    "Adds to readings the wear, ovality and taper of cylinder bores by gauge, at 20 degC,\n"
    "and the leakage past their piston seals against that as new.  Or prints a diameter at\n"
    "20 degC, or how much it exceeds the new one; or a leakage in mL/min, or how many\n"
    "times that of new seals in such a bore it is.  Bare numbers are in mm and degC.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each value came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --only                   print the added rows alone\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

#define ML_A_YEAR_L 525.6	/* 365 days of 1440 min, in thousands of mL */

/* A diameter at 20 degC, or what it exceeds the new one by. */
static void
calculate_bore(char *const argv[], int count)
{
	double read_mm = front_operand(argv[0], "mm"), bore_c = front_operand(argv[1], "degC"),
	    ring_c = front_operand(argv[2], "degC");
	double new_mm = count > 3 ? front_operand(argv[3], "mm") : NAN, at_20_mm = leat_bore_at_20_mm(read_mm, bore_c, ring_c);

	if (!(read_mm > 0) || new_mm <= 0)
		front_misuse("a diameter is above 0: '%s'", read_mm > 0 ? argv[3] : argv[0]);
	if (bore_c < -40 || bore_c > 150 || ring_c < -40 || ring_c > 150)
		front_misuse("a temperature from -40 to 150 degC is wanted: '%s'", bore_c < -40 || bore_c > 150 ? argv[1] : argv[2]);
	if (front_opt.explain)
		front_print("%.3f mm x (1 - 11.5e-6 x (%.1f - %.1f)) = %.3f mm at 20 degC\n", read_mm, bore_c, ring_c, at_20_mm);
	if (front_opt.explain && count > 3)
		front_print("%.3f - %.3f = %.3f mm above the new bore\n", at_20_mm, new_mm, at_20_mm - new_mm);
	if (!front_opt.explain)
		front_print("%.3f mm\n", count > 3 ? at_20_mm - new_mm : at_20_mm);
}

/* A leakage, or how many times that of new seals it is. */
static void
calculate_leak(double mlpm, double bore_mm)
{
	double as_new_mlpm = leat_seal_as_new_mlpm(bore_mm);

	if (!(mlpm >= 0))
		front_misuse("a leakage is not below 0, and its time is above 0");
	if (!isnan(bore_mm) && isnan(as_new_mlpm))
		front_misuse("the guide for new seals has bores from 200 to 400 mm: '%g mm'", bore_mm);
	if (front_opt.explain) {
		front_print("%.3f mL/min, %.1f L in a year\n", mlpm, mlpm * ML_A_YEAR_L);
		if (!isnan(bore_mm))
			front_print("%.3f / %.3f mL/min, the guide for new elastomer seals in a bore of %g mm = %.2f\n", mlpm, as_new_mlpm,
			    bore_mm, mlpm / as_new_mlpm);
	} else if (isnan(bore_mm)) {
		front_print("%.3f mL/min\n", mlpm);
	} else {
		front_print("%.2f\n", mlpm / as_new_mlpm);
	}
}

static void
calculate(char *const argv[], int count)
{
	struct front_quantity first = front_quantity(argv[0]);
	const char *dimension = first.unit != NULL ? first.unit->dimension : "";

	if (strcmp(dimension, "volume") == 0 && (count == 2 || count == 3)) {
		double ml = front_quantity_in(&first, leat_unit_find(LEAT_SPAN("mL"))), minutes = front_operand(argv[1], "min");

		calculate_leak(minutes > 0 ? ml / minutes : NAN, count > 2 ? front_operand(argv[2], "mm") : NAN);
	} else if (strcmp(dimension, "flow") == 0 && count <= 2) {
		calculate_leak(front_quantity_in(&first, leat_unit_find(LEAT_SPAN("mL/min"))),
		    count > 1 ? front_operand(argv[1], "mm") : NAN);
	} else if (count == 3 || count == 4) {
		calculate_bore(argv, count);
	} else {
		front_misuse("%d operand%s: a diameter and two temperatures, a volume and a time, or a flow are wanted", count,
		    count == 1 ? "" : "s");
	}
}

static int
take(void *bores, const struct leat_reading *r, struct leat_error *err)
{
	return leat_bores_take(bores, r, err);
}

static void
derive(struct front_filter *f, struct leat_bores *b)
{
	struct leat_error err;

	if (front_filter_run(f, take, b) == 0 && leat_bores_end(b, f->now, &err) != 0)
		front_error(&err);
	if (b->open > 0)
		front_warn("cylinders whose works' day or leak test has not ended, and that therefore have no rows yet: %lld", b->open);
	front_filter_account(f);
	front_summary("bores measured: %lld; leak tests: %lld; results uncertain: %lld; diameters rejected: %lld; rows added: %lld, "
	    "earlier ones replaced: %lld", b->bores, b->leak_tests, b->uncertain, b->rejected, b->made.added, b->made.replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-bore", .help = help };
	struct leat_bores b = { .warn = front_warn_text, .reject = front_reject };

	front_filter_options(&f, argc, argv);
	if (front_calculates(argc, argv)) {
		calculate(argv + optind, argc - optind);
		return front_end();
	}
	front_filter_open(&f, argc, argv);
	b.in = f.in;
	b.np = f.np;
	b.points = &f.points;
	b.out = f.out;
	b.copy = !f.no_copy;
	b.explain = f.explain;
	b.what = f.what;
	leat_bores_init(&b);
	derive(&f, &b);
	leat_bores_free(&b);
	return front_filter_close(&f);
}
