/* The terminal that is read key by key, and given back as it was whatever happens. */
#ifndef LOOMTAG_CLI_RAW_TERMINAL_H
#define LOOMTAG_CLI_RAW_TERMINAL_H

#include <stdbool.h>

/* Has the terminal on `fd` deliver each key at once, without echo; Ctrl-C and Ctrl-Z stay what they
 * are. It is put back by lt_raw_terminal_leave, at exit, and before a signal ends or stops the
 * program. One terminal at a time; false, and nothing is changed, where there is one or `fd` is
 * none. */
bool lt_raw_terminal_enter(int fd);
void lt_raw_terminal_leave(void);

#endif
