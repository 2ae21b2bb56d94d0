/*
 * Further selections of the rows that are read.
 */
#include "front_also.h"

#include <errno.h>
#include <stdlib.h>

void
front_also_open(struct front_also *also, const char *path)
{
	also->path = path;
	also->file = fopen(path, "w");
	if (also->file == NULL) {
		front_fail("cannot write '%s': %s", path, strerror(errno));
		exit(FRONT_FAILED);
	}
	also->out = malloc(sizeof(*also->out));
	if (also->out == NULL || (also->asked.thin != NULL && (also->thin = leat_thin_new(&also->asked.grid)) == NULL))
		front_misuse("out of memory");
	leat_out_init(also->out, also->file);
}

void
front_also_renew(struct front_also *also, const struct leat_readings *in)
{
	if (!also->headed)
		leat_readings_write_header(also->out, in);
	also->headed = true;
	leat_select_renew(&also->asked.select);
	if (also->thin != NULL)
		leat_thin_renew(also->thin);
}

int
front_also_take(struct front_also *also, const struct leat_readings *in, const struct leat_reading *r,
    struct leat_error *err)
{
	int taken = leat_select_takes(&also->asked.select, r);

	if (taken < 0)
		return leat_error_memory(err);
	if (taken == 0)
		return !leat_select_never(&also->asked.select);
	if (also->thin == NULL)
		leat_readings_copy(also->out, in, r);
	else if (leat_thin_take(also->thin, in, r, also->out) != 0)
		return leat_error_memory(err);
	return 1;
}

void
front_also_end(struct front_also *also)
{
	int errnum = 0;

	if (!also->headed)
		leat_readings_write_header(also->out, NULL);
	if (also->thin != NULL && leat_thin_end(also->thin, also->out) != 0)
		front_fail("out of memory");
	if (leat_out_flush(also->out) != 0)
		errnum = also->out->errnum;
	if (fclose(also->file) != 0 && errnum == 0)
		errnum = errno;
	if (errnum != 0)
		front_fail("cannot write '%s': %s", also->path, strerror(errnum));
	front_summary("%s: %lld rows taken", also->path, also->asked.select.taken);
	leat_thin_free(also->thin);
	leat_select_free(&also->asked.select);
	free(also->asked.select.asset);
	free(also->asked.select.point);
	free(also->out);
}
