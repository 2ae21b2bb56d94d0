/* modes.csv: reading and checking the rows, and putting them together to modes. */
#include "stream/modes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "stream/rule_row.h"

enum column {
	MODE, SYMPTOM, RULE, ASSET, POINT, SAYS, WHERE, WEIGHT, ABSENT, PLAIN, READ, ADVICE, SOURCE, COLUMNS
};

static const char *const columns[COLUMNS] = {
	"mode", "symptom", "rule", "asset", "point", "says", "where", "weight", "absent", "plain", "read", "advice", "source"
};

const struct leat_table_form leat_modes_form = { "modes", columns, COLUMNS, 3 };

/* A symptom that is judged and not there speaks against its mode, but less than it would speak for it: limits are passed
 * late, and not every item shows all (common practice). */
#define EVIDENCE_ABSENT (-0.5)

static struct leat_span
or_all(struct leat_span glob)
{
	return glob.len > 0 ? glob : LEAT_SPAN("*");
}

/* The names of modes go into the rules of findings. */
static bool
is_name(struct leat_span s)
{
	for (size_t i = 0; i < s.len; i++)
		if (!((s.ptr[i] >= 'a' && s.ptr[i] <= 'z') || (s.ptr[i] >= '0' && s.ptr[i] <= '9') || s.ptr[i] == '-'))
			return false;
	return s.len > 0 && s.len < 60;
}

static int
take_names(const struct leat_table *t, size_t i, struct leat_mode_row *row, struct leat_error *err)
{
	row->mode = leat_table_cell(t, i, MODE);
	row->symptom = leat_table_cell(t, i, SYMPTOM);
	row->rule = leat_table_cell(t, i, RULE);
	row->asset = or_all(leat_table_cell(t, i, ASSET));
	row->point = or_all(leat_table_cell(t, i, POINT));
	row->says = leat_table_cell(t, i, SAYS);
	row->read = leat_table_cell(t, i, READ);
	row->advice = leat_table_cell(t, i, ADVICE);
	row->source = leat_table_cell(t, i, SOURCE);
	row->line = leat_table_line(t, i);
	row->file = leat_table_file(t);
	if (!is_name(row->mode))
		return leat_table_fault(t, i, MODE, err, "a mode's name has small letters, digits and '-' only, less than 60");
	if (row->symptom.len == 0)
		return leat_table_fault(t, i, SYMPTOM, err, "empty: say in words what is seen");
	return 0;
}

static int
take_numbers(const struct leat_table *t, size_t i, struct leat_mode_row *row, struct leat_error *err)
{
	int got = leat_table_number(t, i, WEIGHT, &row->weight, err);

	row->absent = EVIDENCE_ABSENT;
	if (got < 0 || leat_table_number(t, i, ABSENT, &row->absent, err) < 0)
		return -1;
	row->has_weight = got == 1;
	if (row->has_weight && !(fabs(row->weight) <= LEAT_MODE_WEIGHT_MAX && row->weight != 0))
		return leat_table_fault(t, i, WEIGHT, err, "from -3 to 3 and not 0 is due; nothing switches the symptom off");
	if (row->has_weight && leat_span_is(row->symptom, "*"))
		return leat_table_fault(t, i, WEIGHT, err, "the symptom '*' switches the mode off and has no weight");
	if (row->has_weight && row->rule.len == 0)
		return leat_table_fault(t, i, RULE, err, "empty: write the rule of the findings that show it, or a pattern");
	if (!(row->absent >= -1 && row->absent <= 0))
		return leat_table_fault(t, i, ABSENT, err, "from -1 to 0 is due");
	return 0;
}

static int
take_words(const struct leat_table *t, size_t i, struct leat_mode_row *row, struct leat_error *err)
{
	static const char *const places[] = { "", "item", "mill" }, *const answers[] = { "", "no", "yes" };
	int place = leat_table_word(t, i, WHERE, places, 3), plain = leat_table_word(t, i, PLAIN, answers, 3);

	if (place < 0)
		return leat_table_fault(t, i, WHERE, err, "'item', 'mill' or nothing is due");
	if (plain < 0)
		return leat_table_fault(t, i, PLAIN, err, "'yes', 'no' or nothing is due");
	row->mill = place == 2;
	row->plain = plain == 2;
	if (row->plain && row->weight < 0)
		return leat_table_fault(t, i, PLAIN, err, "what speaks against a mode does not name it");
	return 0;
}

static bool
same_symptom(const struct leat_mode_row *a, const struct leat_mode_row *b)
{
	return leat_span_eq(a->mode, b->mode) && leat_span_eq(a->symptom, b->symptom);
}

/* Does it go with the rows of its symptom before it? */
static int
check_others(const struct leat_modes *modes, const struct leat_table *t, size_t i, const struct leat_mode_row *row,
    struct leat_error *err)
{
	char text[128];

	for (size_t j = 0; j < modes->rows; j++) {
		const struct leat_mode_row *other = &modes->row[j];

		if (other->shipped != row->shipped || !same_symptom(other, row))
			continue;
		if (other->has_weight != row->has_weight || other->weight != row->weight) {
			snprintf(text, sizeof(text), "line %ld gives this symptom another weight", other->line);
			return leat_table_fault(t, i, WEIGHT, err, text);
		}
		if (leat_span_eq(other->rule, row->rule) && leat_span_eq(other->asset, row->asset) &&
		    leat_span_eq(other->point, row->point) && leat_span_eq(other->says, row->says)) {
			snprintf(text, sizeof(text), "line %ld has the same row", other->line);
			return leat_table_fault(t, i, RULE, err, text);
		}
	}
	return 0;
}

static int
take_row(void *of, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err)
{
	struct leat_modes *modes = of;
	struct leat_mode_row *row;

	if (leat_grow(&modes->row, &modes->row_cap, modes->rows + 1, sizeof(*modes->row)) != 0)
		return leat_error_memory(err);
	row = &modes->row[modes->rows];
	*row = (struct leat_mode_row){ .shipped = shipped };
	if (take_names(t, i, row, err) != 0 || take_numbers(t, i, row, err) != 0 || take_words(t, i, row, err) != 0 ||
	    check_others(modes, t, i, row, err) != 0)
		return -1;
	modes->rows++;
	return 0;
}

/* Does a row of the works stand for this shipped one, or switch its mode off? */
static bool
overruled(const struct leat_modes *modes, const struct leat_mode_row *row)
{
	for (size_t j = 0; row->shipped && j < modes->rows && !modes->row[j].shipped; j++)
		if (leat_span_eq(modes->row[j].mode, row->mode) &&
		    (leat_span_eq(modes->row[j].symptom, row->symptom) || leat_span_is(modes->row[j].symptom, "*")))
			return true;
	return false;
}

struct place {
	size_t row;
	const struct leat_mode_row *of;
	size_t symptom;			/* the row in which its symptom comes first */
};

/* By mode, then in the order in which the symptoms are written. */
static int
cmp_places(const void *a, const void *b)
{
	const struct place *x = a, *y = b;
	int order = leat_span_cmp(x->of->mode, y->of->mode);

	if (order != 0)
		return order;
	if (x->symptom != y->symptom)
		return x->symptom < y->symptom ? -1 : 1;
	return x->row < y->row ? -1 : x->row > y->row;
}

/* The rows that count, in order; how many. */
static size_t
order_rows(const struct leat_modes *modes, struct place *place)
{
	size_t n = 0;

	for (size_t i = 0; i < modes->rows; i++) {
		if (!modes->row[i].has_weight || overruled(modes, &modes->row[i]))
			continue;
		place[n] = (struct place){ i, &modes->row[i], i };
		for (size_t j = 0; j < n; j++)
			if (same_symptom(place[j].of, &modes->row[i])) {
				place[n].symptom = place[j].symptom;
				break;
			}
		n++;
	}
	if (n > 0)
		qsort(place, n, sizeof(*place), cmp_places);
	return n;
}

/* Adds one row that counts, the symptoms of its mode lying at symptom. */
static void
add_row(struct leat_modes *modes, const struct place *place, size_t i, struct leat_symptom *symptom, size_t *symptoms)
{
	const struct leat_mode_row *row = place[i].of;
	struct leat_mode *mode;
	struct leat_symptom *s;

	if (i == 0 || !leat_span_eq(place[i - 1].of->mode, row->mode))
		modes->mode[modes->count++] = (struct leat_mode){ .name = row->mode, .symptom = symptom + *symptoms };
	mode = &modes->mode[modes->count - 1];
	if (mode->symptoms == 0 || place[i - 1].symptom != place[i].symptom) {
		symptom[*symptoms] = (struct leat_symptom){ .words = row->symptom, .weight = row->weight, .row = &modes->index[i] };
		++*symptoms;
		mode->symptoms++;
		mode->whole += fabs(row->weight);
	}
	s = &symptom[*symptoms - 1];
	s->rows++;
	modes->index[i] = place[i].row;
	if (s->read.len == 0)
		s->read = row->read;
	if (mode->advice.len == 0)
		mode->advice = row->advice;
	if (mode->source.len == 0)
		mode->source = row->source;
}

static int
put_together(struct leat_modes *modes, struct leat_error *err)
{
	size_t room = modes->rows + 1, n, symptoms = 0;
	struct place *place = calloc(room, sizeof(*place));
	struct leat_symptom *symptom = calloc(room, sizeof(*symptom));

	modes->index = calloc(room, sizeof(*modes->index));
	modes->mode = calloc(room, sizeof(*modes->mode));
	if (place == NULL || symptom == NULL || modes->index == NULL || modes->mode == NULL) {
		free(place);
		free(symptom);
		return leat_error_memory(err);
	}
	n = order_rows(modes, place);
	for (size_t i = 0; i < n; i++)
		add_row(modes, place, i, symptom, &symptoms);
	/* The first mode's are the whole block's. */
	if (modes->count == 0)
		free(symptom);
	free(place);
	return 0;
}

int
leat_modes_make(struct leat_modes *modes, struct leat_table *works, struct leat_error *err)
{
	memset(modes, 0, sizeof(*modes));
	if (leat_rule_tables(&modes->shipped, "shipped modes", leat_modes_defaults(), works, &leat_modes_form, take_row, modes,
	    err) != 0 || put_together(modes, err) != 0) {
		leat_modes_free(modes);
		return -1;
	}
	modes->works = works;
	return 0;
}

int
leat_modes_read(struct leat_modes *modes, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *works;

	memset(modes, 0, sizeof(*modes));
	if (leat_table_optional(&works, path, &leat_modes_form, absent, err) == 0 && leat_modes_make(modes, works, err) == 0)
		return 0;
	leat_table_free(works);
	return -1;
}

void
leat_modes_free(struct leat_modes *modes)
{
	if (modes->count > 0)
		free(modes->mode[0].symptom);
	free(modes->mode);
	free(modes->index);
	free(modes->row);
	leat_table_free(modes->works);
	leat_table_free(modes->shipped);
	memset(modes, 0, sizeof(*modes));
}

size_t
leat_modes_find(const struct leat_modes *modes, struct leat_span name)
{
	size_t i = 0;

	while (i < modes->count && !leat_span_eq(modes->mode[i].name, name))
		i++;
	return i;
}
