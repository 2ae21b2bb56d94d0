/*
 * leat-cleanliness: codes and classes of the particles in oil, added to the readings; and as a calculator.
 */
#include <math.h>

#include "derive/cleanliness.h"
#include "front_calc.h"
#include "front_filter.h"

enum { COUNTED = FRONT_OWN };

static const struct option own[] = { { "counted", required_argument, NULL, COUNTED }, { NULL, 0, NULL, 0 } };

static const char *counted;	/* --counted: the operands are particles in this volume */

static const char help[] =
    "Usage: leat-cleanliness [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                        [--max-rejects N|N%] [--nameplate FILE] [--now TIME]\n"
    "                        [--only] [--points FILE] [-r FILE] [--summary] [-w DIR]\n"
    "                        [FILE ...]\n"
    "       leat-cleanliness [--counted VOLUME] [--explain] COUNT ...\n"
    "Adds to readings the cleanliness code of each oil sample after ISO 4406, its\n"
    "classes after AS4059 and NAS 1638, and how much a filter takes out; or prints the\n"
    "code of counts: of 4, 6, 14 um(c) and further of 21, 38, 70 um(c), or two by\n"
    "microscope, of 5 and 15 um.  A bare number is in 1 mL.\n"
    "\n"
    "     --counted VOLUME         the numbers are particles counted in VOLUME\n"
    "     --explain[=ASSET/POINT]  print instead how each code came about\n"
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

/* One count of the calculator: its particles in 1 mL, and those seen, NaN where that is not known. */
struct seen {
	enum leat_particle size;
	double per_ml, raw;
};

static void
print(const char *text)
{
	leat_out_text(front_stdout(), text);
}

static void
print_number(double value)
{
	char text[LEAT_NUMBER_MAX];

	leat_number_trim(text, leat_number_significant(text, value, 6));
	print(text);
}

static void
explain_count(const struct seen *s, bool microscope)
{
	int number = leat_iso4406_number(s->per_ml);

	print_number(microscope ? leat_particle_microscope_um[s->size] : leat_particle_um[s->size]);
	print(microscope ? " um: " : " um(c): ");
	print_number(s->per_ml);
	print(" in 1 mL");
	if (s->size < LEAT_ISO4406_PLACES) {
		print(", more than ");
		print_number(leat_iso4406_limit(number - 1));
		if (number <= LEAT_ISO4406_LAST) {
			print(" up to ");
			print_number(leat_iso4406_limit(number));
		}
		print(" is ");
		print(number <= LEAT_ISO4406_LAST ? "" : "over ");
		print_number(number <= LEAT_ISO4406_LAST ? number : LEAT_ISO4406_LAST);
		if (s->raw < LEAT_ISO4406_FEW)
			print(", of fewer than 20 particles counted");
	}
	print("\n");
}

static void
explain_classes(const double per_ml[LEAT_PARTICLES], unsigned has)
{
	int band[LEAT_NAS1638_BANDS], nas = leat_nas1638_class(per_ml, has, band);
	char classes[LEAT_AS4059_MAX];
	bool more = false;

	leat_as4059_write(classes, per_ml, has);
	print("AS4059 ");
	print(classes);
	print("\nNAS 1638 ");
	print(nas >= 0 ? leat_nas1638_name(nas) : "cannot be told");
	for (int i = 0; i < LEAT_NAS1638_BANDS; i++) {
		if (band[i] < 0)
			continue;
		print(more ? ", " : ", the worst of ");
		print_number(leat_particle_microscope_um[i + LEAT_PARTICLE_6]);
		print(i + 1 < LEAT_NAS1638_BANDS ? "-" : " um and larger: ");
		if (i + 1 < LEAT_NAS1638_BANDS) {
			print_number(leat_particle_microscope_um[i + 1 + LEAT_PARTICLE_6]);
			print(" um: ");
		}
		print(leat_nas1638_name(band[i]));
		more = true;
	}
	print("\n");
}

/* A count per volume, or a plain number of particles in the volume counted. */
static struct seen
read_count(const char *operand, double volume_ml)
{
	struct front_quantity q = front_quantity(operand);
	const struct leat_unit *per_ml = leat_unit_find(LEAT_SPAN("1/mL"));
	struct seen s = { .raw = NAN };

	if (!isnan(volume_ml) && q.unit == NULL) {
		s.raw = q.value;
		s.per_ml = q.value / volume_ml;
	} else {
		s.per_ml = front_quantity_in(&q, per_ml);
		if (!isnan(volume_ml))
			s.raw = s.per_ml * volume_ml;
	}
	if (!(s.per_ml >= 0))
		front_misuse("a count is not below 0: '%s'", operand);
	return s;
}

static void
calculate(int argc, char *const argv[])
{
	struct leat_iso4406 code = { .number = { LEAT_ISO4406_NOT_COUNTED, 0, 0 } };
	int count = argc - optind, first = count == 2 ? LEAT_PARTICLE_6 : LEAT_PARTICLE_4;
	double volume_ml = NAN, per_ml[LEAT_PARTICLES] = { 0 };
	char text[LEAT_ISO4406_MAX];
	struct seen seen[LEAT_PARTICLES];
	unsigned has = 0;

	if (count < 2 || count > LEAT_PARTICLES)
		front_misuse("%d count%s: a code takes three, of 4, 6 and 14 um(c), or two by microscope, of 5 and 15 um", count,
		    count == 1 ? "" : "s");
	if (counted != NULL) {
		struct front_quantity volume = front_quantity(counted);

		volume_ml = front_quantity_in(&volume, leat_unit_find(LEAT_SPAN("mL")));
		if (!(volume_ml > 0))
			front_misuse("option '--counted': not a volume such as 25mL: '%s'", counted);
	}
	for (int i = 0; i < count; i++) {
		seen[i] = read_count(argv[optind + i], volume_ml);
		seen[i].size = (enum leat_particle)(first + i);
		per_ml[first + i] = seen[i].per_ml;
		has |= 1u << (first + i);
		if (i > 0 && seen[i].per_ml > seen[i - 1].per_ml)
			front_misuse("counts are of a size and larger, so they never rise: '%s' after '%s'", argv[optind + i],
			    argv[optind + i - 1]);
		if (first + i < LEAT_ISO4406_PLACES) {
			code.number[first + i] = leat_iso4406_number(seen[i].per_ml);
			code.few[first + i] = seen[i].raw < LEAT_ISO4406_FEW;
		}
	}
	for (int i = 0; i < count && front_opt.explain; i++)
		explain_count(&seen[i], count == 2);
	leat_iso4406_write(text, &code);
	print(front_opt.explain ? "ISO 4406 " : "");
	print(text);
	print("\n");
	if (front_opt.explain)
		explain_classes(per_ml, has);
}

static int
take(void *clean, const struct leat_reading *r, struct leat_error *err)
{
	return leat_clean_take(clean, r, err);
}

static void
derive(struct front_filter *f, struct leat_clean *clean)
{
	if (front_filter_run(f, take, clean) == 0)
		leat_clean_end(clean);
	/* Samples are seldom: a night without one is worth a word only to who asked for nothing else. */
	if (!clean->copy && clean->samples == 0 && clean->rejected == 0 && !front_failed())
		front_warn("no sample: no usable readings named count-4um, count-6um, count-14um or iso4406");
	front_filter_account(f);
	front_summary("samples: %lld, %lld of them uncertain; ratios: %lld; typed codes rejected: %lld; rows added: %lld, earlier "
	    "ones replaced: %lld", clean->samples, clean->uncertain, clean->ratios, clean->rejected, clean->added,
	    clean->replaced);
}

static void
take_option(int code)
{
	if (code == COUNTED)
		counted = optarg;
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-cleanliness", .help = help, .own = own, .option = take_option };
	struct leat_clean clean = { .warn = front_warn_text, .reject = front_reject };

	front_filter_options(&f, argc, argv);
	if (front_calculates(argc, argv)) {
		calculate(argc, argv);
		return front_end();
	}
	if (counted != NULL)
		front_misuse("option '--counted': for counts as operands (in nameplate.csv it is 'counted-volume')");
	front_filter_open(&f, argc, argv);
	clean.in = f.in;
	clean.np = f.np;
	clean.points = &f.points;
	clean.out = f.out;
	clean.copy = !f.no_copy;
	clean.explain = f.explain;
	clean.what = f.what;
	leat_clean_init(&clean);
	derive(&f, &clean);
	leat_clean_free(&clean);
	return front_filter_close(&f);
}
