/* The works folder beside its tables: the settings of the nightly job, and files that are not what they look like. */
#include <sys/stat.h>

#include <dirent.h>
#include <errno.h>
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/instant.h"
#include "base/number.h"
#include "judge/proof_private.h"
#include "stream/input.h"
#include "stream/rows.h"

static const char *const setting_names[] = { "bin", "days", "history", "late", "lines", "settle", "source", "weekly" };
static const char *const weekdays[] = { "mon", "tue", "wed", "thu", "fri", "sat", "sun", "never" };

/* The line of nightly.conf at hand. */
struct line {
	struct leat_proof *p;
	const char *file;
	long number;
	struct leat_span setting, value, rest;
	bool has_source;
};

static void
tell(const struct line *l, bool fault, struct leat_span value, const char *text)
{
	struct leat_error err = { 0 };

	leat_error_set(&err, "%s", text);
	if (l->setting.len > 0)
		leat_error_column(&err, l->setting);
	if (value.len > 0)
		leat_error_value(&err, value);
	leat_error_at(&err, l->file, l->number);
	proof_tell(l->p, fault, &err);
}

/* Takes the next word, as the shell's read does. */
static struct leat_span
take_word(struct leat_span *rest)
{
	struct leat_span word;

	*rest = leat_span_trim(*rest);
	word = leat_span_make(rest->ptr, 0);
	while (word.len < rest->len && rest->ptr[word.len] != ' ' && rest->ptr[word.len] != '\t')
		word.len++;
	*rest = leat_span_trim(leat_span_make(rest->ptr + word.len, rest->len - word.len));
	return word;
}

static bool
is_whole(struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++)
		if (text.ptr[i] < '0' || text.ptr[i] > '9')
			return false;
	return text.len > 0 && text.len < 7;
}

/* Does any file match the pattern, which counts from the works folder? */
static bool
matches_files(const struct leat_proof *p, struct leat_span pattern)
{
	struct leat_buf path = { 0 };
	glob_t found = { 0 };
	bool any = true;

	if (pattern.len > 0 && pattern.ptr[0] != '/') {
		for (const char *c = p->works; *c != '\0'; c++)
			if (leat_buf_printf(&path, "%s%c", strchr("*?[\\", *c) != NULL ? "\\" : "", *c) != 0)
				goto end;
		if (leat_buf_add(&path, "/", 1) != 0)
			goto end;
	}
	if (leat_buf_add_span(&path, pattern) != 0 || leat_buf_add(&path, "", 1) != 0)
		goto end;
	any = glob(path.data, GLOB_NOSORT, NULL, &found) == 0 && found.gl_pathc > 0;
	globfree(&found);
end:
	leat_buf_free(&path);
	return any;
}

static void
check_source(struct line *l)
{
	struct leat_names *named = &l->p->sources_named;
	size_t known = named->count;

	l->has_source = true;
	if (l->rest.len == 0) {
		tell(l, true, l->value, "a source needs its name and a pattern of files");
		return;
	}
	for (size_t i = 0; i < l->value.len; i++) {
		if (strchr(",\"\\", l->value.ptr[i]) == NULL)
			continue;
		tell(l, true, l->value, "a comma, quote or backslash in the name of a source");
		return;
	}
	if (leat_names_put(named, l->value) == LEAT_NAME_NONE)
		l->p->out_of_memory = true;
	else if (named->count == known)
		tell(l, true, l->value, "this source comes twice; each has a name of its own, such as MM and MM/events");
	else if (!matches_files(l->p, l->rest))
		tell(l, false, l->rest, "no file fits the pattern");
}

/* A setting that a source can have for itself, as late NAME HOURS. */
static bool
is_of_source(struct leat_span setting)
{
	return leat_span_is(setting, "late") || leat_span_is(setting, "days");
}

static void
check_setting(struct line *l)
{
	struct leat_nearest nearest = { .word = l->setting };
	char text[256], hint[PROOF_HINT];
	struct leat_duration duration;
	bool known = false;

	if (leat_span_is(l->setting, "source"))
		check_source(l);
	else if (leat_span_is(l->setting, "lines") || leat_span_is(l->setting, "settle")) {
		if (!is_whole(l->value))
			tell(l, true, l->value, "not a whole number of at most 6 digits");
	} else if (is_of_source(l->setting)) {
		if (!is_whole(l->rest.len > 0 ? l->rest : l->value))
			tell(l, true, l->rest.len > 0 ? l->rest : l->value, leat_span_is(l->setting, "late") ?
			    "not a whole number of hours" : "not a whole number of at most 6 digits");
	} else if (leat_span_is(l->setting, "history")) {
		if (leat_duration_parse(l->value, &duration) != 0)
			tell(l, true, l->value, "not a duration such as P400D");
	} else if (leat_span_is(l->setting, "weekly")) {
		for (size_t i = 0; i < sizeof(weekdays) / sizeof(weekdays[0]); i++)
			known = known || leat_span_is(l->value, weekdays[i]);
		if (!known)
			tell(l, true, l->value, "not one of mon, tue, wed, thu, fri, sat, sun, never");
	} else if (!leat_span_is(l->setting, "bin")) {
		for (size_t i = 0; i < sizeof(setting_names) / sizeof(setting_names[0]); i++)
			leat_nearest_offer(&nearest, setting_names[i]);
		snprintf(text, sizeof(text), "no setting of the nightly job%s", proof_hint(hint, nearest.name));
		tell(l, true, leat_span_make("", 0), text);
	}
}

/* One line; late NAME HOURS and days NAME DAYS are looked at again when all sources are known. */
static void
take_line(struct line *l, struct leat_span text, bool again)
{
	l->rest = text;
	if (text.len > 0 && text.ptr[text.len - 1] == '\r')
		l->rest.len--;
	l->setting = take_word(&l->rest);
	l->value = take_word(&l->rest);
	if (l->setting.len == 0 || l->setting.ptr[0] == '#')
		return;
	if (!again)
		check_setting(l);
	else if (is_of_source(l->setting) && l->rest.len > 0 &&
	    leat_names_get(&l->p->sources_named, l->value) == LEAT_NAME_NONE)
		tell(l, false, l->value, "no source has this name");
}

/* Each folder below incoming is a source where no line names one. */
static void
incoming(struct leat_proof *p, const char *folder)
{
	DIR *dir = opendir(folder);
	const struct dirent *entry;
	struct leat_buf path = { 0 };
	struct stat st;

	while (dir != NULL && (entry = readdir(dir)) != NULL) {
		leat_buf_reset(&path);
		if (entry->d_name[0] == '.' || leat_buf_printf(&path, "%s/%s", folder, entry->d_name) != 0 ||
		    leat_buf_add(&path, "", 1) != 0)
			continue;
		if (stat(path.data, &st) == 0 && S_ISDIR(st.st_mode) &&
		    leat_names_put(&p->sources_named, leat_span_of(entry->d_name)) == LEAT_NAME_NONE)
			p->out_of_memory = true;
	}
	if (dir != NULL)
		closedir(dir);
	leat_buf_free(&path);
}

static void
settings(struct line *l, struct leat_input *in, struct leat_error *err)
{
	struct leat_buf text = { .limit = 1024u * 1024u };
	struct leat_span rest, line;
	ssize_t got = 0;

	while (leat_buf_reserve(&text, 4096) == 0 && (got = leat_input_read(in, text.data + text.len, 4096, err)) > 0)
		text.len += (size_t)got;
	if (got != 0) {
		if (got > 0)
			leat_error_set(err, "larger than 1 MiB: these are no settings");
		leat_error_at(err, l->file, 0);
		proof_tell(l->p, true, err);
	}
	for (int again = 0; again < 2; again++) {
		rest = leat_buf_span(&text);
		for (l->number = 1; leat_span_next(&rest, '\n', &line); l->number++) {
			l->p->count[PROOF_NIGHTLY].rows += again == 0 && line.len > 0;
			take_line(l, line, again == 1);
		}
		l->setting.len = 0;
	}
	leat_buf_free(&text);
}

void
proof_nightly(struct leat_proof *p)
{
	struct leat_proof_table *count = &p->count[PROOF_NIGHTLY];
	struct line l = { .p = p };
	struct leat_error err = { 0 };
	struct leat_input *in;
	char path[4096], folder[4096];
	struct stat st;

	count->absent = true;
	if (p->works == NULL || snprintf(path, sizeof(path), "%s/nightly.conf", p->works) >= (int)sizeof(path))
		return;
	snprintf(folder, sizeof(folder), "%s/incoming", p->works);
	l.file = path;
	count->absent = stat(path, &st) != 0 && errno == ENOENT;
	if (count->absent) {
		incoming(p, folder);
		return;
	}
	in = leat_input_open(path, LEAT_ENCODING_UTF8, &err);
	if (in == NULL) {
		proof_tell(p, true, &err);
		return;
	}
	settings(&l, in, &err);
	leat_input_close(in);
	if (!l.has_source)
		incoming(p, folder);
	l.number = 0;
	if (!l.has_source && p->sources_named.count == 0)
		tell(&l, false, leat_span_make("", 0), "no line 'source NAME PATTERN' and no folder below incoming: the nightly job has "
		    "no exports");
}

/* A file of the folder that a spreadsheet holds open, or whose name is nearly that of a table. */
static void
look_at(struct leat_proof *p, const char *name)
{
	struct leat_span text = leat_span_of(name);
	struct leat_nearest nearest = { .word = text };
	struct leat_error err = { 0 };
	bool is_lock = leat_span_starts(text, ".~lock.") && leat_span_ends(text, "#");
	struct leat_span held = is_lock ? leat_span_make(name + 7, text.len - 8) : text;

	if (!is_lock && !leat_span_ends(text, ".csv"))
		return;
	for (size_t i = 0; i < PROOF_TABLES; i++) {
		if (leat_span_is(held, p->count[i].name)) {
			if (!is_lock)
				return;
			leat_error_set(&err, "open in a spreadsheet: what is not saved is not checked, and not used by night");
			p->which = i;
		}
		leat_nearest_offer(&nearest, p->count[i].name);
	}
	if (!is_lock && nearest.name != NULL)
		leat_error_set(&err, "no table has this name and no command reads it, did you mean '%s'?", nearest.name);
	if (err.text[0] != '\0') {
		char path[4096];

		snprintf(path, sizeof(path), "%s/%.*s", p->works, (int)held.len, held.ptr);
		leat_error_at(&err, path, 0);
		proof_tell(p, false, &err);
	}
	p->which = PROOF_FOLDER;
}

static int
by_name(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

void
proof_folder(struct leat_proof *p)
{
	DIR *dir = p->works != NULL ? opendir(p->works) : NULL;
	const struct dirent *entry;
	char **name = NULL;
	size_t count = 0, cap = 0;

	p->count[PROOF_FOLDER].absent = dir == NULL;
	p->count[PROOF_FOLDER].rows = -1;
	while (dir != NULL && (entry = readdir(dir)) != NULL) {
		if (leat_grow(&name, &cap, count + 1, sizeof(*name)) != 0 ||
		    (name[count] = leat_strndup(leat_span_of(entry->d_name))) == NULL) {
			p->out_of_memory = true;
			break;
		}
		count++;
	}
	if (dir != NULL)
		closedir(dir);
	if (count > 1)
		qsort(name, count, sizeof(*name), by_name);
	for (size_t i = 0; i < count; i++) {
		look_at(p, name[i]);
		free(name[i]);
	}
	free(name);
}
