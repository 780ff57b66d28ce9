/* The terminal that standard output may be. */
#ifndef LOOMTAG_CLI_TERMINAL_H
#define LOOMTAG_CLI_TERMINAL_H

#include <jansson.h>
#include <stdbool.h>

/* As printf, for a line in which text from outside stands: what is printed is as
 * lt_text_add_visible has it, apart from the newlines at its end. */
void lt_print_clean(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Prints a value as JSON; flags as of json_dumps. The text is the value's, and what is not shown as
 * it is (lt_text_shown) is written as \u and digits. False when that is impossible. */
bool lt_print_json_value(const json_t *value, size_t flags);

/* Columns of the terminal; of what COLUMNS says, or 80, where it is none. 10 to 500. */
unsigned lt_terminal_columns(void);

#endif
