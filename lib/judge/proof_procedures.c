/* The procedures of the works folder, and the cautions that tasks and procedures name. */
#include <sys/stat.h>

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/proof_private.h"
#include "tell/cautions.h"
#include "upkeep/procedure.h"

/* Says of a keyword that no passage has it. */
static void
tell_caution(struct leat_proof *p, const char *file, long line, const char *column, struct leat_span word)
{
	const struct leat_caution *c;
	struct leat_nearest nearest = { .word = word };
	struct leat_error err = { 0 };
	char hint[PROOF_HINT];

	/* The first stands on every card and need not be named. */
	for (size_t i = 1; (c = leat_caution_at(i)) != NULL; i++)
		leat_nearest_offer(&nearest, c->keyword);
	leat_error_set(&err, "no caution has this name%s", proof_hint(hint, nearest.name));
	leat_error_column(&err, leat_span_of(column));
	leat_error_value(&err, word);
	leat_error_at(&err, file, line);
	proof_tell(p, true, &err);
}

void
proof_task_cautions(struct leat_proof *p, const struct leat_table *t, size_t row)
{
	struct leat_span rest = leat_table_cell(t, row, proof_column(t, "cautions")), word;

	while (leat_procedure_word(&rest, &word))
		if (leat_caution_find(word) == NULL)
			tell_caution(p, leat_table_file(t), leat_table_line(t, row), "cautions", word);
}

static void
fault(void *user, const struct leat_error *err)
{
	proof_tell(user, true, err);
}

static void
check_file(struct leat_proof *p, const char *path)
{
	const struct leat_procedure_faults faults = { fault, p };
	struct leat_procedure procedure;

	p->count[PROOF_PROCEDURES].rows++;
	if (leat_procedure_read(&procedure, path, &p->points, &faults) == 0) {
		const struct leat_procedure_items *items = &procedure.section[LEAT_PROCEDURE_CAUTIONS];

		for (size_t i = 0; i < items->count; i++) {
			for (size_t k = 0; k < items->item[i].words.count; k++) {
				struct leat_span rest = items->item[i].words.piece[k].text, word;

				while (leat_procedure_word(&rest, &word))
					if (leat_caution_find(word) == NULL)
						tell_caution(p, path, items->item[i].line, "Cautions", word);
			}
		}
	}
	leat_procedure_free(&procedure);
}

static int
by_name(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

void
proof_procedures(struct leat_proof *p)
{
	char folder[4096], path[8192];
	const struct dirent *entry;
	char **name = NULL;
	size_t count = 0, cap = 0;
	DIR *dir;

	p->count[PROOF_PROCEDURES].absent = true;
	p->count[PROOF_PROCEDURES].rows = -1;
	if (p->works == NULL || snprintf(folder, sizeof(folder), "%s/procedures", p->works) >= (int)sizeof(folder) ||
	    (dir = opendir(folder)) == NULL)
		return;
	p->count[PROOF_PROCEDURES].absent = false;
	p->count[PROOF_PROCEDURES].rows = 0;
	while ((entry = readdir(dir)) != NULL) {
		if (entry->d_name[0] == '.' || !leat_span_ends(leat_span_of(entry->d_name), ".txt"))
			continue;
		if (leat_grow(&name, &cap, count + 1, sizeof(*name)) != 0 ||
		    (name[count] = leat_strndup(leat_span_of(entry->d_name))) == NULL) {
			p->out_of_memory = true;
			break;
		}
		count++;
	}
	closedir(dir);
	if (count > 1)
		qsort(name, count, sizeof(*name), by_name);
	for (size_t i = 0; i < count; i++) {
		if (snprintf(path, sizeof(path), "%s/%s", folder, name[i]) < (int)sizeof(path))
			check_file(p, path);
		free(name[i]);
	}
	free(name);
}
