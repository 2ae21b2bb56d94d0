/* The works folder checked by day: what is wrong with it as CSV, what was checked on standard error. */
#include <stdio.h>

#include "front.h"
#include "front_proof.h"
#include "judge/proof.h"

static void
write_remark(struct leat_out *out, const struct leat_proof_remark *remark)
{
	const struct leat_error *what = &remark->what;
	char line[32] = "", message[512];
	int len = snprintf(message, sizeof(message), "%s%s%s%s", what->text, what->has_value ? ": '" : "",
	    what->has_value ? what->value : "", what->has_value ? "'" : "");

	if (what->line > 0)
		snprintf(line, sizeof(line), "%ld", what->line);
	leat_out_field(out, leat_span_of(what->file));
	leat_out_char(out, ',');
	leat_out_text(out, line);
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(what->column));
	leat_out_text(out, remark->fault ? ",fault," : ",warning,");
	leat_out_field(out, leat_span_make(message, (size_t)len));
	leat_out_char(out, '\n');
}

static const char *
plural(long long n)
{
	return n == 1 ? "" : "s";
}

/* A line a table under --summary, and one for all. */
static void
account(const struct leat_proof *proof)
{
	const struct leat_proof_table *t;
	long long faults = 0, warnings = 0, there = 0;

	for (size_t i = 0; (t = leat_proof_table_at(proof, i)) != NULL; i++) {
		long long all = t->faults + t->warnings;

		faults += t->faults;
		warnings += t->warnings;
		/* The folder is no table: it has a line when there is something to say. */
		if (t->rows < 0 && all == 0)
			continue;
		there += !t->absent && t->rows >= 0;
		if (t->rows < 0)
			front_summary("%s: %lld warning%s", t->name, t->warnings, plural(t->warnings));
		else if (t->absent && all == 0)
			front_summary("%s: absent", t->name);
		else
			front_summary("%s: %lld row%s, %lld fault%s, %lld warning%s", t->name, t->rows, plural(t->rows), t->faults,
			    plural(t->faults), t->warnings, plural(t->warnings));
		if (all > (long long)LEAT_PROOF_KEPT)
			front_note("%s: %lld more than the %u that are printed", t->name, all - LEAT_PROOF_KEPT, LEAT_PROOF_KEPT);
	}
	front_note("%lld fault%s, %lld warning%s in %lld table%s", faults, plural(faults), warnings, plural(warnings), there,
	    plural(there));
	if (faults > 0)
		front_raise(FRONT_FAILED);
	else if (warnings > 0 && front_opt.exit_status)
		front_raise(FRONT_FOUND);
}

void
front_proof(int operands)
{
	static const struct {
		const char *table;
		enum front_code code;
	} instead[] = {
		{ "limits", FRONT_LIMITS }, { "nameplate", FRONT_NAMEPLATE }, { "points", FRONT_POINTS },
		{ "shelved", FRONT_SHELVED }
	};
	bool any = front_opt.works != NULL;
	const struct leat_proof_remark *remark;
	struct leat_error err = { 0 };
	struct leat_proof *proof;

	if (operands > 0)
		front_misuse("option '--tables' reads no readings: a FILE is too much");
	if (front_opt.now_data)
		front_misuse("option '--tables' reads no readings: '--now data' has no answer");
	front_works_check();
	proof = leat_proof_new(front_opt.works, front_now());
	for (size_t i = 0; proof != NULL && i < sizeof(instead) / sizeof(instead[0]); i++) {
		const char *path = front_opt.table[instead[i].code - FRONT_TABLE];

		if (path != NULL)
			leat_proof_instead(proof, instead[i].table, path);
		any = any || path != NULL;
	}
	if (!any)
		front_misuse("option '--tables' needs a works folder (-w or LEAT_WORKS), or an option that names a table");
	if (proof == NULL || leat_proof_run(proof, &err) != 0) {
		front_fail("out of memory");
		leat_proof_free(proof);
		return;
	}
	leat_out_text(front_stdout(), "file,line,column,severity,message\n");
	for (size_t i = 0; (remark = leat_proof_remark_at(proof, i)) != NULL; i++)
		write_remark(front_stdout(), remark);
	account(proof);
	leat_proof_free(proof);
}
