/*
 * What the quality cells of an export speak for.
 */
#ifndef LEAT_STREAM_EXPORT_QUALITY_H
#define LEAT_STREAM_EXPORT_QUALITY_H

#include "stream/export_private.h"

/* Notes the quality cells in form->quality, from the beginning until enough of them have spoken.  A
 * file of zeros is read to its end, since zeros alone say nothing.  0, or -1 with err. */
int leat_export_quality(struct leat_spool *spool, struct leat_export_form *form, const struct leat_layout *layout,
    struct leat_error *err) LEAT_MUST_USE;

#endif
