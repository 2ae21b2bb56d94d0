/*
 * Drafts of works tables for the assets that exports speak of: nameplate.csv and tasks.csv, to be checked, filled in and cut
 * down by a person.
 */
#ifndef LEAT_JUDGE_DRAFT_H
#define LEAT_JUDGE_DRAFT_H

#include "judge/holdings.h"
#include "stream/nameplate.h"
#include "stream/out.h"

struct leat_draft_rows {
	long long rows, empty;		/* written; of them, those without a value */
};

/* asset,property,value,unit,from,source,note: the properties of the works and of each asset that its readings can use, but
 * for those that np gives.  A shipped default stands as the value, with its authority in the note; other values are left
 * empty, with which leat_nameplate_read refuses the table.  zone: as given, or "".  holdings are mapped. */
struct leat_draft_rows leat_draft_nameplate(struct leat_out *out, const struct leat_holdings *h,
    const struct leat_nameplate *np, const char *zone);

/* task,asset,title,every,hours,starts,condition,waive,tolerance,needs,crew,duration,parts,cautions,procedure,source: the
 * trade's usual tasks at its usual intervals (common practice) for the assets that there are.  crew, parts and procedure
 * are the works' own and left empty. */
struct leat_draft_rows leat_draft_tasks(struct leat_out *out, const struct leat_holdings *h);

/* Private to draft*.c: the assets of a kind ("mill", "pump", ...) by which one of the points ('|' between them) is read:
 * the next after *at, written into asset, or false.  A pump, cooler, element or sampling point is the asset of the reading
 * itself, but not of a round sheet where it is read by instrument too; a relief valve is the mill's; all else is the
 * mill. */
bool leat_draft_asset(const struct leat_holdings *h, const char *belongs, const char *points, size_t *at,
    char *asset, size_t size);

#endif
