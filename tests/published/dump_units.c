/*
 * Prints the unit table, tab separated: name, dimension, factor num and den, offset num and den; or, with the operand
 * "spellings", each spelling with the unit that it finds.
 */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "base/units.h"

int
main(int argc, char **argv)
{
	const struct leat_unit *u = NULL;
	const char *text;
	size_t i;

	if (argc > 1 && strcmp(argv[1], "spellings") == 0) {
		for (i = 0; (text = leat_unit_spelling(i, &u)) != NULL; i++)
			printf("%s\t%s\n", text, u->name);
	} else {
		for (i = 0; (u = leat_unit_at(i)) != NULL; i++) {
			printf("%s\t%s\t%" PRId64 "\t%" PRId64 "\t%" PRId64 "\t%" PRId64 "\n", u->name, u->dimension,
			    u->num, u->den, u->offset_num, u->offset_den);
		}
	}
	return fflush(stdout) != 0 || ferror(stdout);
}
