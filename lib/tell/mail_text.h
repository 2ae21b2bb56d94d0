/*
 * The texts that a mail is made of: encodings of its parts and headers, addresses, date.
 *
 * Internet Message Format RFC 5322, MIME RFC 2045 (quoted-printable, section 6.7) and RFC 2047 (words of headers).  Lines end
 * in LF, as a mail program of the machine takes them; it makes CRLF of them on its way out.
 */
#ifndef LEAT_TELL_MAIL_TEXT_H
#define LEAT_TELL_MAIL_TEXT_H

#include "base/mem.h"
#include "base/zone.h"

#define LEAT_MAIL_LINE 78u	/* columns of a header line (RFC 5322, section 2.1.1) */
#define LEAT_MAIL_WORD_LINE 76u	/* of one with encoded words (RFC 2047, section 2), and of quoted-printable */
#define LEAT_MAIL_ADDRESSES 64u	/* that a mail may go to */

/* All functions that add to a buffer return 0, or -1 when memory is out. */

/* Adds text, whose lines end in LF, in quoted-printable.  The result ends in LF, as does a text that does not by a soft line
 * break.  A full stop that begins a line is encoded, for one alone would end the input of some mail programs, and so is the F
 * of 'From '. */
int leat_mail_quoted_printable(struct leat_buf *buf, struct leat_span text) LEAT_MUST_USE;

/* Adds a header "Name: text" folded at LEAT_MAIL_LINE.  Text that is not printable ASCII, that looks like an encoded word, or
 * that has a word wider than a line is written in encoded words of UTF-8; what disturbs (leat_utf8_disturbs) and malformed
 * UTF-8 in it are '?'. */
int leat_mail_header(struct leat_buf *buf, const char *name, struct leat_span text) LEAT_MUST_USE;

/* Checks a list of addresses "a@b.example, Name <c@d.example>, "Name, Other" <e@f.example>" and adds it as a header, folded,
 * names encoded where need be.  most: how many there may be.  -1 with err, which says what is wrong, where it has a control
 * character, is no such list, has none or more, or when memory is out; buf may then hold a part. */
int leat_mail_addresses(struct leat_buf *buf, const char *name, struct leat_span list, size_t most, struct leat_error *err)
    LEAT_MUST_USE;

/* The domain of the first address of a list that has been checked. */
struct leat_span leat_mail_domain(struct leat_span list);

/* Adds "Sat, 20 Dec 2025 05:30:00 +0100": section 3.3, by the clock of the zone. */
int leat_mail_date(struct leat_buf *buf, const struct leat_zone *zone, struct leat_time t) LEAT_MUST_USE;

#endif
