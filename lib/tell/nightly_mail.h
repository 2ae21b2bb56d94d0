/*
 * The nightly report as a mail: the text, a light form of its HTML for programs that show it, and as attachments the HTML
 * with its pictures and tables, and the findings for a spreadsheet.
 */
#ifndef LEAT_TELL_NIGHTLY_MAIL_H
#define LEAT_TELL_NIGHTLY_MAIL_H

#include "tell/mail_text.h"
#include "tell/nightly.h"

/* Is it a list of addresses, at least one and most at most?  0, or -1 with err. */
int leat_nightly_mail_check(struct leat_span list, size_t most, struct leat_error *err) LEAT_MUST_USE;

/* Adds the mail to buf: nothing when there is nothing to say, unless always.  count is filled in.  0, or -1 with err. */
int leat_nightly_mail(const struct leat_nightly *n, struct leat_span from, struct leat_span to, struct leat_buf *buf,
    struct leat_nightly_count *count, struct leat_error *err) LEAT_MUST_USE;

#endif
