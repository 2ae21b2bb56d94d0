/* Shared by the files of the nightly text. */
#ifndef LEAT_TELL_NIGHTLY_PRIVATE_H
#define LEAT_TELL_NIGHTLY_PRIVATE_H

#include "tell/nightly.h"

/* Writes one line of a section with its advice below.  True when it advised something. */
bool leat_nightly_line(struct leat_text *t, const struct leat_nightly *n, const struct leat_lines *lines, size_t index);

#endif
