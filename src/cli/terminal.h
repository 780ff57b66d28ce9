/* The terminal that standard output may be. */
#ifndef LOOMTAG_CLI_TERMINAL_H
#define LOOMTAG_CLI_TERMINAL_H

/* Columns of the terminal; of what COLUMNS says, or 80, where it is none. 10 to 500. */
unsigned terminal_columns(void);

#endif
