/* Shared by the files of tell/mail_text.h. */
#ifndef LEAT_TELL_MAIL_PRIVATE_H
#define LEAT_TELL_MAIL_PRIVATE_H

#include "tell/mail_text.h"

/* Printable ASCII from end to end? */
bool mail_is_ascii(struct leat_span text);

/* Adds UTF-8 as encoded words from *column on, with folds between them; *column is where it ends. */
int mail_encoded_words(struct leat_buf *buf, struct leat_span text, size_t *column) LEAT_MUST_USE;

/* Adds words of ASCII from *column on, folded at blanks. */
int mail_folded_words(struct leat_buf *buf, struct leat_span text, size_t *column) LEAT_MUST_USE;

#endif
