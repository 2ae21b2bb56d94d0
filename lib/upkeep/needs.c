/* The words of tasks.csv. */
#include "upkeep/needs.h"

#include "base/number.h"

static const struct { const char *word; enum leat_need need; } words[] = {
	{ "stop", LEAT_NEED_STOP }, { "running", LEAT_NEED_RUNNING }, { "depressurised", LEAT_NEED_DEPRESSURISED },
	{ "law", LEAT_NEED_LAW }, { "safety", LEAT_NEED_SAFETY }, { "lock", LEAT_NEED_LOCK },
	{ "drain", LEAT_NEED_DRAIN }, { "renew", LEAT_NEED_RENEW }, { "nitrogen", LEAT_NEED_NITROGEN }
};

int
leat_need_word(struct leat_span word, enum leat_need *need, struct leat_span *rest, double *litres)
{
	size_t colon = leat_span_find(word, ':');
	struct leat_span name = leat_span_make(word.ptr, colon);
	bool more = colon < word.len;

	*need = LEAT_NEED_TASK;
	*litres = 0;
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (leat_span_is(name, words[i].word))
			*need = words[i].need;
	*rest = more ? leat_span_make(word.ptr + colon + 1, word.len - colon - 1) : leat_span_make("", 0);
	switch (*need) {
	case LEAT_NEED_TASK:
		*rest = word;
		return more ? -1 : 0;
	case LEAT_NEED_LOCK:
		return rest->len > 0 ? 0 : -1;
	case LEAT_NEED_DRAIN: case LEAT_NEED_RENEW:
		return !more || (leat_double_parse(*rest, litres) == 0 && *litres > 0) ? 0 : -1;
	case LEAT_NEED_NITROGEN:
		return !more || leat_span_is(*rest, "empty") ? 0 : -1;
	case LEAT_NEED_STOP: case LEAT_NEED_RUNNING: case LEAT_NEED_DEPRESSURISED: case LEAT_NEED_LAW: case LEAT_NEED_SAFETY:
		break;
	}
	return more ? -1 : 0;
}

bool
leat_needs_next(struct leat_span *rest, struct leat_span *word)
{
	return leat_span_word(rest, "|", word);
}

int
leat_needs_count(struct leat_span word, struct leat_span *name, double *count)
{
	size_t star = leat_span_find(word, '*');

	*count = 1;
	*name = leat_span_make(word.ptr, star);
	if (star == word.len)
		return 0;
	return star > 0 && leat_double_parse(leat_span_make(word.ptr + star + 1, word.len - star - 1), count) == 0 &&
	    *count > 0 ? 0 : -1;
}

int
leat_needs_crew(struct leat_span cell, double *people)
{
	struct leat_span word;
	bool counted = false;
	double number;

	*people = 0;
	while (leat_span_word(&cell, "|+,", &word)) {
		if (leat_double_parse(word, &number) == 0) {
			if (number <= 0 || number > 1000)
				return -1;
			*people += number;
			counted = true;
			continue;
		}
		/* A trade without a number is one person; after a number it only names the trade. */
		if (!counted)
			*people += 1;
		counted = false;
	}
	return *people > 0 ? 0 : -1;
}
