/*
 * A mail with parts.
 */
#include "tell/mail.h"

#include <inttypes.h>
#include <stdint.h>

#include "base/instant.h"

/* FNV-1a over 64 bits, whatever a long is. */
static uint64_t
hash(uint64_t seed, struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++)
		seed = (seed ^ (unsigned char)text.ptr[i]) * UINT64_C(1099511628211);
	/* What ends here is not what goes on. */
	return (seed ^ 256) * UINT64_C(1099511628211);
}

static uint64_t
hash_of(const struct leat_mail *m)
{
	uint64_t h = hash(hash(hash(UINT64_C(14695981039346656037), m->from), m->to), m->subject);

	for (size_t i = 0; i < m->alternatives; i++)
		h = hash(h, m->alternative[i].text);
	for (size_t i = 0; i < m->attachments; i++)
		h = hash(h, m->attachment[i].text);
	return h;
}

/* The parts are all quoted-printable, in which no '=' is followed by '_': no boundary can occur in one (RFC 2045, section
 * 6.7). */
static int
add_boundary(struct leat_buf *buf, uint64_t h, const char *kind, const char *end)
{
	return leat_buf_printf(buf, "\n--=_%s_%016" PRIx64 "%s\n", kind, h, end);
}

static int
add_kind(struct leat_buf *buf, uint64_t h, const char *kind)
{
	return leat_buf_printf(buf, "Content-Type: multipart/%s;\n boundary=\"=_%s_%016" PRIx64 "\"\n", kind, kind, h);
}

static int
add_part(struct leat_buf *buf, const struct leat_mail_part *part)
{
	if (leat_buf_printf(buf, "Content-Type: %s\n", part->type) != 0)
		return -1;
	if (part->file != NULL ? leat_buf_printf(buf, "Content-Disposition: attachment; filename=\"%s\"\n", part->file) != 0 :
	    leat_buf_printf(buf, "Content-Disposition: inline\n") != 0)
		return -1;
	if (leat_buf_printf(buf, "Content-Transfer-Encoding: quoted-printable\n\n") != 0)
		return -1;
	return leat_mail_quoted_printable(buf, part->text);
}

static int
add_head(struct leat_buf *buf, const struct leat_mail *m, uint64_t h, struct leat_error *err)
{
	struct leat_span domain = leat_mail_domain(m->from);
	struct leat_civil c = leat_civil_from_time(m->date, 0);

	if (leat_mail_addresses(buf, "From", m->from, 1, err) != 0 ||
	    leat_mail_addresses(buf, "To", m->to, LEAT_MAIL_ADDRESSES, err) != 0)
		return -1;
	if (leat_mail_header(buf, "Subject", m->subject) != 0 || leat_buf_printf(buf, "Date: ") != 0 ||
	    leat_mail_date(buf, m->zone, m->date) != 0 ||
	    leat_buf_printf(buf, "\nMessage-ID:%s<%04d%02d%02dT%02d%02d%02dZ.%016" PRIx64 "@%.*s>\n",
	    domain.len > 28 ? "\n " : " ", c.year, c.month, c.day, c.hour, c.minute, c.second, h, (int)domain.len,
	    domain.ptr) != 0 ||
	    leat_buf_printf(buf, "Auto-Submitted: auto-generated\nMIME-Version: 1.0\n") != 0)
		return leat_error_memory(err);
	return 0;
}

static int
add_body(struct leat_buf *buf, const struct leat_mail *m, uint64_t h)
{
	if (add_kind(buf, h, "mixed") != 0 || leat_buf_printf(buf, "\nThis mail has parts, after MIME (RFC 2045).\n") != 0 ||
	    add_boundary(buf, h, "mixed", "") != 0 || add_kind(buf, h, "alternative") != 0)
		return -1;
	for (size_t i = 0; i < m->alternatives; i++) {
		if (add_boundary(buf, h, "alternative", "") != 0 || add_part(buf, &m->alternative[i]) != 0)
			return -1;
	}
	if (add_boundary(buf, h, "alternative", "--") != 0)
		return -1;
	for (size_t i = 0; i < m->attachments; i++) {
		if (add_boundary(buf, h, "mixed", "") != 0 || add_part(buf, &m->attachment[i]) != 0)
			return -1;
	}
	return add_boundary(buf, h, "mixed", "--");
}

int
leat_mail_write(const struct leat_mail *m, struct leat_buf *buf, struct leat_error *err)
{
	uint64_t h = hash_of(m);

	if (add_head(buf, m, h, err) != 0)
		return -1;
	return add_body(buf, m, h) == 0 ? 0 : leat_error_memory(err);
}
