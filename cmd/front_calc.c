/*
 * Operands that are quantities.
 */
#include "front_calc.h"

#include <stdarg.h>

static size_t
digits(const char *p)
{
	size_t len = 0;

	while (p[len] >= '0' && p[len] <= '9')
		len++;
	return len;
}

/* The length of the number at the beginning of a text, 0 when there is none. */
static size_t
number_length(const char *text)
{
	size_t len = *text == '-' || *text == '+', count = digits(text + len), power;

	len += count;
	if (text[len] == '.') {
		count += digits(text + len + 1);
		len += 1 + digits(text + len + 1);
	}
	if (count == 0)
		return 0;
	if (text[len] == 'e' || text[len] == 'E') {
		power = len + 1 + (text[len + 1] == '-' || text[len + 1] == '+');
		if (digits(text + power) > 0)
			len = power + digits(text + power);
	}
	return len;
}

/* The unit behind the number; "/100mL" is "1/100mL". */
static const struct leat_unit *
find_unit(struct leat_span text)
{
	char per[32] = "1";

	if (*text.ptr != '/' || text.len + 1 >= sizeof(per))
		return leat_unit_find(text);
	memcpy(per + 1, text.ptr, text.len);
	return leat_unit_find(leat_span_make(per, text.len + 1));
}

/* False when it is no quantity; *unclear when its unit has more than one meaning. */
static bool
read_quantity(const char *operand, struct front_quantity *q, bool *unclear)
{
	size_t len = number_length(operand);
	struct leat_span unit;

	q->text = operand;
	q->unit = NULL;
	*unclear = false;
	if (len == 0 || leat_double_parse(leat_span_make(operand, len), &q->value) != 0)
		return false;
	unit = leat_span_trim(leat_span_of(operand + len));
	if (unit.len == 0)
		return true;
	*unclear = leat_unit_unclear(unit);
	q->unit = find_unit(unit);
	return *unclear || q->unit != NULL;
}

bool
front_calculates(int argc, char *const argv[])
{
	struct front_quantity q;
	bool unclear;

	for (int i = optind; i < argc; i++)
		if (!read_quantity(argv[i], &q, &unclear))
			return false;
	return optind < argc;
}

struct front_quantity
front_quantity(const char *operand)
{
	struct front_quantity q;
	bool unclear;

	if (!read_quantity(operand, &q, &unclear))
		front_misuse("not a number with a unit: '%s'", operand);
	if (unclear)
		front_misuse("the unit has more than one meaning, write one of leat-units(7): '%s'", operand);
	return q;
}

double
front_quantity_in(const struct front_quantity *quantity, const struct leat_unit *unit)
{
	if (quantity->unit == NULL)
		return quantity->value;
	if (!leat_unit_same_dimension(quantity->unit, unit))
		front_misuse("'%s' has the unit '%s', where '%s' or a unit of its dimension is due", quantity->text,
		    quantity->unit->name, unit->name);
	return leat_unit_convert(quantity->unit, unit, quantity->value);
}

double
front_operand(const char *operand, const char *unit)
{
	struct front_quantity q = front_quantity(operand);

	return front_quantity_in(&q, leat_unit_find(leat_span_of(unit)));
}

void
front_print(const char *fmt, ...)
{
	char text[LEAT_OUT_LINE];
	va_list args;

	va_start(args, fmt);
	vsnprintf(text, sizeof(text), fmt, args);
	va_end(args);
	leat_out_text(front_stdout(), text);
}
