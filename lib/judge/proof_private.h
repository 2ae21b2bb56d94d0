/*
 * Between the files of judge/proof.h.
 */
#ifndef LEAT_JUDGE_PROOF_PRIVATE_H
#define LEAT_JUDGE_PROOF_PRIVATE_H

#include "judge/confirms.h"
#include "judge/proof.h"
#include "stream/limits.h"
#include "stream/modes.h"
#include "stream/nameplate.h"
#include "stream/nearest.h"
#include "stream/oil_rules.h"
#include "stream/points.h"
#include "stream/precharges.h"
#include "stream/shelved.h"
#include "stream/sources.h"
#include "stream/trends.h"
#include "upkeep/logbook.h"
#include "upkeep/stops.h"
#include "upkeep/tasks.h"

/* In the order in which they are read: the zone of the works comes first, then what others refer to. */
enum leat_proof_which {
	PROOF_NAMEPLATE, PROOF_SOURCES, PROOF_POINTS, PROOF_LIMITS, PROOF_TRENDS, PROOF_CONFIRM, PROOF_OIL, PROOF_MODES,
	PROOF_PAIRS, PROOF_PRECHARGE, PROOF_TASKS, PROOF_STOPS, PROOF_PARTS, PROOF_LOGBOOK, PROOF_SHELVED, PROOF_TABLES,
	PROOF_NIGHTLY = PROOF_TABLES, PROOF_PROCEDURES, PROOF_FOLDER, PROOF_ALL
};

/* What a cell must be, in tables that no reader reads yet. */
enum leat_proof_type {
	PROOF_TEXT,
	PROOF_ASSET,		/* an asset or a pattern of assets */
	PROOF_DURATION		/* longer than zero; years and months too, where dates are counted */
};

struct leat_proof_cell {
	enum leat_proof_type type;
	bool due;		/* never empty */
};

/* One row of the table of readers. */
struct leat_proof_reader {
	const char *name;
	/* NULL: a book that is read line by line. */
	const struct leat_table_form *form;
	/* Makes what the commands read: 0 and the table is taken over (it may be NULL), or -1 with err and its line.  NULL: no
	 * reader yet, or one of its own in lines. */
	int (*make)(struct leat_proof *p, struct leat_table *table, struct leat_error *err);
	/* By column of the form, where there is no reader; else NULL. */
	const struct leat_proof_cell *cell;
	/* Row against row, and against other tables, once all are read; may be NULL. */
	void (*cross)(struct leat_proof *p, const struct leat_table *table);
};

struct leat_proof_kept {
	struct leat_proof_remark remark;
	size_t which, order;
};

struct leat_proof {
	const char *works;
	struct leat_time now;
	const char *instead[PROOF_TABLES];
	char *path[PROOF_TABLES];
	struct leat_proof_table count[PROOF_ALL];
	const struct leat_table *table[PROOF_TABLES];	/* its good rows; NULL: absent or beyond reading */
	struct leat_table *owned[PROOF_TABLES];		/* of those, what no reader has taken over */
	size_t which;					/* the table being checked */

	struct leat_nameplate *nameplate;
	struct leat_sources sources;
	struct leat_points points;
	struct leat_limits limits;
	struct leat_trends trends;
	struct leat_confirms confirms;
	struct leat_oil_rules oil;
	struct leat_modes modes;
	struct leat_precharges precharges;
	struct leat_tasks tasks;
	struct leat_stops stops;
	struct leat_parts parts;
	struct leat_shelves shelves;
	struct leat_logbook logbook;

	/* What the works knows: assets of points.csv and nameplate.csv with their parents; series of points.csv and the
	 * logbook, those of rows at fault too, so that one slip is not told twice. */
	struct leat_names assets, names;		/* names: points */
	struct leat_pairs series;
	struct leat_names rules, sources_named, told;
	bool lines_lost;	/* lines of nameplate.csv or points.csv that are beyond reading: what they name is not known */
	bool out_of_memory;

	struct leat_proof_kept *kept;
	size_t kept_count, kept_cap;
};

/* proof.c: remarks about p->which. */
void proof_tell(struct leat_proof *p, bool fault, const struct leat_error *what);
/* A remark about a cell; text is as printf's. */
void proof_cell(struct leat_proof *p, bool fault, const struct leat_table *t, size_t row, size_t column, const char *fmt,
    ...) LEAT_PRINTF(6, 7);
/* Is it the first time that this is asked of that text about the table at hand? */
bool proof_first(struct leat_proof *p, struct leat_span text);

/* proof_readers.c */
extern const struct leat_proof_reader proof_readers[PROOF_TABLES];
int proof_read_logbook(struct leat_proof *p, const char *path, bool *absent, struct leat_error *err);

/* proof_cells.c: the cells of a row by their types. */
void proof_row_cells(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_proof_cell *cell);

/* proof_names.c */
void proof_learn(struct leat_proof *p, const struct leat_table *t);	/* of nameplate.csv and points.csv */
void proof_know_series(struct leat_proof *p, struct leat_span asset, struct leat_span point);
bool proof_knows_points(const struct leat_proof *p);
bool proof_asset_fits(const struct leat_proof *p, struct leat_span glob);
bool proof_series_fits(const struct leat_proof *p, struct leat_span asset, struct leat_span point);
bool proof_has(const struct leat_proof *p, struct leat_span asset, struct leat_span point);
bool proof_has_below(const struct leat_proof *p, struct leat_span asset);
const char *proof_near_asset(const struct leat_proof *p, struct leat_span asset);
const char *proof_near_point(const struct leat_proof *p, struct leat_span point);
/* An asset that only work is done on, which needs no point: is it one of no known mill, or a slip of a known name? */
bool proof_doubtful(const struct leat_proof *p, struct leat_span asset, const char **near);
bool proof_is_glob(struct leat_span text);
void proof_learn_rules(struct leat_proof *p);
bool proof_rule_known(const struct leat_proof *p, struct leat_span glob, const char **near);

/* The cross checks, a file each. */
void proof_cross_nameplate(struct leat_proof *p, const struct leat_table *t);
void proof_cross_sources(struct leat_proof *p, const struct leat_table *t);
void proof_cross_points(struct leat_proof *p, const struct leat_table *t);
void proof_cross_limits(struct leat_proof *p, const struct leat_table *t);
void proof_cross_trends(struct leat_proof *p, const struct leat_table *t);
void proof_cross_modes(struct leat_proof *p, const struct leat_table *t);
void proof_cross_oil(struct leat_proof *p, const struct leat_table *t);
void proof_cross_shelved(struct leat_proof *p, const struct leat_table *t);
void proof_cross_precharge(struct leat_proof *p, const struct leat_table *t);
void proof_cross_tasks(struct leat_proof *p, const struct leat_table *t);
void proof_cross_stops(struct leat_proof *p, const struct leat_table *t);
void proof_cross_logbook(struct leat_proof *p, const struct leat_table *t);
void proof_nightly(struct leat_proof *p);
void proof_procedures(struct leat_proof *p);
/* The cautions that a task names. */
void proof_task_cautions(struct leat_proof *p, const struct leat_table *t, size_t row);
void proof_folder(struct leat_proof *p);

/* proof_rows.c: a gate's operands against what the works knows, for the assets that a row fits. */
void proof_gate(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, struct leat_span asset,
    struct leat_span point);
/* Asset and point of a row that judges readings; false when nothing fits it. */
bool proof_fits(struct leat_proof *p, const struct leat_table *t, size_t row, size_t asset, size_t point);

/* ", did you mean 'NEAR'?", or nothing where near is NULL.  Returns dst. */
#define PROOF_HINT 160u
const char *proof_hint(char *dst, const char *near);

/* The column of that name, or form->columns. */
size_t proof_column(const struct leat_table *t, const char *name);

#endif
