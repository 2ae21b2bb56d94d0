/* Reads "rows terms", then rows of terms columns and a value each, from standard input, and prints the coefficients that are 0 or
 * more, which of them are told, and the rank. */
#include <stdio.h>

#include "stats/nonnegative.h"

int
main(void)
{
	static double column[64 * LEAT_NONNEGATIVE_TERMS], y[64];
	struct leat_nonnegative fit;
	struct leat_error err;
	size_t n, terms;

	while (scanf("%zu %zu", &n, &terms) == 2 && n <= 64 && terms <= LEAT_NONNEGATIVE_TERMS) {
		for (size_t i = 0; i < n; i++) {
			for (size_t t = 0; t < terms; t++)
				if (scanf("%lf", &column[t * n + i]) != 1)
					return 1;
			if (scanf("%lf", &y[i]) != 1)
				return 1;
		}
		if (leat_nonnegative_fit(column, y, n, terms, &fit, &err) != 0)
			return 1;
		for (size_t t = 0; t < terms; t++)
			printf("%.17g %d ", fit.coefficient[t], fit.told[t]);
		printf("%zu\n", fit.rank);
	}
	return 0;
}
