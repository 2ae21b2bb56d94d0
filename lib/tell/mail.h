/*
 * A mail with parts: RFC 5322 and MIME (RFC 2045, 2046), ready for the machine's mail program to read with its addresses
 * (sendmail -t).  Lines end in LF; no line is longer than 78 columns, all of it is ASCII.
 */
#ifndef LEAT_TELL_MAIL_H
#define LEAT_TELL_MAIL_H

#include "tell/mail_text.h"

struct leat_mail_part {
	const char *type;		/* "text/plain; charset=UTF-8" */
	const char *file;		/* name of an attachment, of letters, digits, '.', '-'; NULL: it is to be read in place */
	struct leat_span text;		/* lines that end in LF */
};

struct leat_mail {
	struct leat_span from, to;	/* lists of addresses: one, and at least one */
	struct leat_span subject;
	const struct leat_zone *zone;	/* borrowed */
	struct leat_time date;
	const struct leat_mail_part *alternative;	/* the same in several forms, the plainest first; at least one */
	size_t alternatives;
	const struct leat_mail_part *attachment;
	size_t attachments;
};

/* Adds the whole message to buf.  Message-ID and boundaries are made from what is in it, so that the same mail has the same
 * bytes.  It says that it was made by a program (Auto-Submitted, RFC 3834), so that no program answers it.  0, or -1 with err
 * where an address is none or memory is out; buf may then hold a part. */
int leat_mail_write(const struct leat_mail *m, struct leat_buf *buf, struct leat_error *err) LEAT_MUST_USE;

#endif
