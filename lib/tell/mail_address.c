/*
 * Addresses of mail: what RFC 5322, section 3.4, has of them that people write.  No groups, comments and routes, no quoted
 * local parts, and ASCII alone in the address itself, whose domain may be in brackets.
 */
#include "tell/mail_private.h"

#include "stream/rows.h"

/* A mailbox of a list. */
struct mailbox {
	struct leat_span name;		/* as written; empty: none */
	bool quoted;			/* name is what stands between quotes, with its backslashes */
	struct leat_span address;
};

static bool
is_atom_byte(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
	    (c != '\0' && strchr("!#$%&'*+-/=?^_`{|}~", c) != NULL);
}

/* Atoms with single full stops between them. */
static bool
is_dot_atom(struct leat_span text)
{
	bool after_dot = true;

	for (size_t i = 0; i < text.len; i++) {
		if (text.ptr[i] == '.' ? after_dot : !is_atom_byte(text.ptr[i]))
			return false;
		after_dot = text.ptr[i] == '.';
	}
	return !after_dot;
}

/* An address in brackets: "[192.0.2.1]". */
static bool
is_literal(struct leat_span text)
{
	if (text.len < 3 || text.ptr[0] != '[' || text.ptr[text.len - 1] != ']')
		return false;
	for (size_t i = 1; i + 1 < text.len; i++) {
		if (text.ptr[i] <= ' ' || text.ptr[i] > '~' || strchr("[]\\", text.ptr[i]) != NULL)
			return false;
	}
	return true;
}

/* Limits of the parts: RFC 5321, section 4.5.3.1. */
static bool
is_address(struct leat_span text)
{
	size_t at = leat_span_find(text, '@');
	struct leat_span local = { text.ptr, at }, domain;

	if (at == text.len || at > 64 || text.len - at - 1 > 255)
		return false;
	domain = leat_span_make(text.ptr + at + 1, text.len - at - 1);
	return is_dot_atom(local) && (is_dot_atom(domain) || is_literal(domain));
}

/* The end of a quoted text that begins at the head: behind its second quote; 0 when there is none. */
static size_t
quoted_end(struct leat_span text)
{
	for (size_t i = 1; i < text.len; i++) {
		if (text.ptr[i] == '\\')
			i++;
		else if (text.ptr[i] == '"')
			return i + 1;
	}
	return 0;
}

/* Takes the next mailbox off the list.  1, 0 at its end, or -1. */
static int
next_mailbox(struct leat_span *rest, struct mailbox *m)
{
	struct leat_span text = leat_span_trim(*rest), one;
	size_t quoted = text.len > 0 && text.ptr[0] == '"' ? quoted_end(text) : 0, end;

	*m = (struct mailbox){ .quoted = quoted > 0 };
	if (rest->ptr == NULL)
		return 0;
	if (quoted > 0) {
		m->name = leat_span_make(text.ptr + 1, quoted - 2);
		text = leat_span_make(text.ptr + quoted, text.len - quoted);
	}
	end = leat_span_find(text, ',');
	one = leat_span_trim(leat_span_make(text.ptr, end));
	*rest = end < text.len ? leat_span_make(text.ptr + end + 1, text.len - end - 1) : leat_span_make(NULL, 0);
	end = leat_span_find(one, '<');
	if (end == one.len) {
		m->address = one;
		return quoted == 0 && is_address(one) ? 1 : -1;
	}
	if (one.ptr[one.len - 1] != '>' || (quoted > 0 && end > 0))
		return -1;
	if (quoted == 0)
		m->name = leat_span_trim(leat_span_make(one.ptr, end));
	m->address = leat_span_make(one.ptr + end + 1, one.len - end - 2);
	return leat_span_find(m->name, '"') == m->name.len || quoted > 0 ? (is_address(m->address) ? 1 : -1) : -1;
}

/* The name of a mailbox without its backslashes. */
static int
plain_name(struct leat_buf *buf, const struct mailbox *m)
{
	for (size_t i = 0; i < m->name.len; i++) {
		if (m->quoted && m->name.ptr[i] == '\\' && i + 1 < m->name.len)
			i++;
		if (leat_buf_add(buf, m->name.ptr + i, 1) != 0)
			return -1;
	}
	return 0;
}

/* Adds a name that is ASCII in quotes. */
static int
add_quoted(struct leat_buf *buf, struct leat_span name, size_t *column)
{
	struct leat_buf text = { 0 };
	int result = leat_buf_add(&text, "\"", 1);

	for (size_t i = 0; i < name.len && result == 0; i++) {
		if (name.ptr[i] == '"' || name.ptr[i] == '\\')
			result = leat_buf_add(&text, "\\", 1);
		if (result == 0)
			result = leat_buf_add(&text, name.ptr + i, 1);
	}
	if (result == 0)
		result = leat_buf_add(&text, "\"", 1);
	if (result == 0)
		result = mail_folded_words(buf, leat_buf_span(&text), column);
	leat_buf_free(&text);
	return result;
}

/* Would it be wider than a line, or be taken for an encoded word? */
static bool
wants_words(struct leat_span name)
{
	struct leat_span rest = name, word;

	if (!mail_is_ascii(name))
		return true;
	while (leat_span_next(&rest, ' ', &word)) {
		if (2 * word.len + 4 > LEAT_MAIL_LINE || leat_span_starts(word, "=?"))
			return true;
	}
	return false;
}

static int
add_mailbox(struct leat_buf *buf, const struct mailbox *m, size_t *column)
{
	struct leat_buf name = { 0 };
	size_t width = m->address.len + (m->name.len > 0 ? 2 : 0);
	int result = plain_name(&name, m);

	if (result == 0 && name.len > 0)
		result = (wants_words(leat_buf_span(&name)) ? mail_encoded_words : add_quoted)(buf, leat_buf_span(&name), column);
	if (result == 0 && name.len > 0) {
		bool fold = *column + 1 + width + 1 > LEAT_MAIL_LINE;

		result = leat_buf_add(buf, fold ? "\n " : " ", fold ? 2 : 1);
		*column = fold ? 1 : *column + 1;
	}
	if (result == 0)
		result = leat_buf_printf(buf, m->name.len > 0 ? "<%.*s>" : "%.*s", (int)m->address.len, m->address.ptr);
	*column += width;
	leat_buf_free(&name);
	return result;
}

int
leat_mail_addresses(struct leat_buf *buf, const char *name, struct leat_span list, size_t most, struct leat_error *err)
{
	size_t column = strlen(name) + 2, count = 0;
	struct leat_span rest = list;
	const char *fault = leat_field_fault(list);
	struct mailbox m;
	int more;

	if (fault != NULL) {
		leat_error_set(err, "%s in an address", fault);
		return leat_error_value(err, list);
	}
	if (leat_buf_printf(buf, "%s: ", name) != 0)
		return leat_error_memory(err);
	while ((more = next_mailbox(&rest, &m)) > 0) {
		if (count++ == most)
			return leat_error_set(err, "more than %zu address%s", most, most == 1 ? "" : "es");
		if (count > 1) {
			bool fold = column + 2 + m.name.len + m.address.len + 3 > LEAT_MAIL_LINE;

			if (leat_buf_add(buf, fold ? ",\n " : ", ", fold ? 3 : 2) != 0)
				return leat_error_memory(err);
			column = fold ? 1 : column + 2;
		}
		if (add_mailbox(buf, &m, &column) != 0)
			return leat_error_memory(err);
	}
	if (more < 0 || count == 0) {
		leat_error_set(err, "not an address such as name@works.example or Name <name@works.example>");
		return leat_error_value(err, list);
	}
	return leat_buf_add(buf, "\n", 1) == 0 ? 0 : leat_error_memory(err);
}

struct leat_span
leat_mail_domain(struct leat_span list)
{
	struct leat_span rest = list;
	struct mailbox m;
	size_t at;

	if (next_mailbox(&rest, &m) <= 0)
		return leat_span_make("", 0);
	at = leat_span_find(m.address, '@');
	return leat_span_make(m.address.ptr + at + 1, m.address.len - at - 1);
}
