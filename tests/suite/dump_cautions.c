/* Prints the cautions of job cards as "TITLE: sentence", to be compared with docs/cautions.md. */
#include <stdio.h>

#include "tell/cautions.h"

int
main(void)
{
	const struct leat_caution *c;

	for (size_t i = 0; (c = leat_caution_at(i)) != NULL; i++)
		for (size_t k = 0; k < LEAT_CAUTION_LINES && c->line[k] != NULL; k++)
			printf("%s: %s\n", c->title, c->line[k]);
	return 0;
}
