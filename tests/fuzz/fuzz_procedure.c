/* Any bytes as a procedure: no crash, every refusal says why and where, and what is taken can be printed and logged. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "tell/card.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
fault(void *user, const struct leat_error *err)
{
	if (err->text[0] == '\0')
		abort();
	++*(size_t *)user;
}

static void
print(const struct leat_procedure *procedure, bool html)
{
	struct leat_error err = { 0 };
	struct leat_nameplate *np = leat_nameplate_make(NULL, &err);
	struct leat_calendar cal = { .now = { 1750000000, 0 } };
	struct leat_sheet sheet = { .html = html };
	struct leat_card card = { .task = LEAT_SPAN("task"), .asset = LEAT_SPAN("NM/pump-a"), .procedure = procedure,
		.nameplate = np, .start = LEAT_TIME_NONE, .end = LEAT_TIME_NONE, .cal = &cal };

	if (np == NULL)
		abort();
	cal.zone = leat_nameplate_zone(np);
	leat_sheet_begin(&sheet, "fuzz");
	leat_card_write(&sheet, &card);
	leat_sheet_end(&sheet);
	if (sheet.text.failed || !leat_utf8_valid(leat_buf_span(&sheet.text.page)))
		abort();
	leat_sheet_free(&sheet);
	leat_nameplate_free(np);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	size_t told = 0;
	struct leat_procedure_faults faults = { fault, &told };
	struct leat_procedure p;
	int result = leat_procedure_text(&p, "fuzz", leat_span_make((const char *)data, size), NULL, &faults);

	if ((result == 0) != (told == 0))
		abort();
	if (result == 0) {
		print(&p, false);
		print(&p, true);
	}
	leat_procedure_free(&p);
	return 0;
}
