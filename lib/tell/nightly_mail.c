/*
 * The nightly report as a mail.
 */
#include "tell/nightly_mail.h"

#include <stdio.h>

#include "tell/harmless.h"
#include "tell/mail.h"

/* The texts of the parts. */
struct texts {
	struct leat_buf plain, light, full, findings, subject;
};

int
leat_nightly_mail_check(struct leat_span list, size_t most, struct leat_error *err)
{
	struct leat_buf scrap = { 0 };
	int result = leat_mail_addresses(&scrap, "To", list, most, err);

	leat_buf_free(&scrap);
	return result;
}

/* The verdict behind the works' name. */
static int
make_subject(const struct leat_nightly *n, struct texts *t, struct leat_error *err)
{
	if (n->works.len > 0 && (leat_buf_add_span(&t->subject, n->works) != 0 || leat_buf_add(&t->subject, ": ", 2) != 0))
		return leat_error_memory(err);
	return leat_nightly_verdict(n, &t->subject, err);
}

static int
make_texts(const struct leat_nightly *n, struct texts *t, struct leat_nightly_count *count, struct leat_error *err)
{
	if (leat_nightly_write(n, LEAT_PAGE_TEXT, &t->plain, count, err) != 0)
		return -1;
	if (t->plain.len == 0)
		return 0;
	if (leat_nightly_write(n, LEAT_PAGE_MAIL, &t->light, NULL, err) != 0 ||
	    leat_nightly_write(n, LEAT_PAGE_HTML, &t->full, NULL, err) != 0)
		return -1;
	if (leat_harmless_findings(&t->findings, n->tonight, n->cal.now) != 0)
		return leat_error_memory(err);
	return make_subject(n, t, err);
}

static int
write_mail(const struct leat_nightly *n, struct leat_span from, struct leat_span to, const struct texts *t,
    struct leat_buf *buf, struct leat_error *err)
{
	char report[40], findings[40];
	const struct leat_mail_part alternative[] = {
		{ "text/plain; charset=UTF-8", NULL, leat_buf_span(&t->plain) },
		{ "text/html; charset=UTF-8", NULL, leat_buf_span(&t->light) }
	};
	const struct leat_mail_part attachment[] = {
		{ "text/html; charset=UTF-8", report, leat_buf_span(&t->full) },
		{ "text/csv; charset=UTF-8; header=present", findings, leat_buf_span(&t->findings) }
	};
	const struct leat_mail mail = { .from = from, .to = to, .subject = leat_buf_span(&t->subject), .zone = n->cal.zone,
		.date = n->cal.now, .alternative = alternative, .alternatives = 2, .attachment = attachment, .attachments = 2 };
	int y, m, d;

	leat_civil_from_days(leat_calendar_day(&n->cal, n->cal.now), &y, &m, &d);
	snprintf(report, sizeof(report), "report-%04d-%02d-%02d.html", y, m, d);
	snprintf(findings, sizeof(findings), "findings-%04d-%02d-%02d.csv", y, m, d);
	return leat_mail_write(&mail, buf, err);
}

int
leat_nightly_mail(const struct leat_nightly *n, struct leat_span from, struct leat_span to, struct leat_buf *buf,
    struct leat_nightly_count *count, struct leat_error *err)
{
	struct texts t = { .subject = { 0 } };
	int result = make_texts(n, &t, count, err);

	if (result == 0 && t.plain.len > 0)
		result = write_mail(n, from, to, &t, buf, err);
	leat_buf_free(&t.plain);
	leat_buf_free(&t.light);
	leat_buf_free(&t.full);
	leat_buf_free(&t.findings);
	leat_buf_free(&t.subject);
	return result;
}
