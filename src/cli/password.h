/* Passwords that are needed while the program runs. */
#ifndef LOOMTAG_CLI_PASSWORD_H
#define LOOMTAG_CLI_PASSWORD_H

#include <stdbool.h>
#include <stddef.h>

/* LOOMTAG_PASSWORD, or what is typed at the terminal, which does not show it; what is typed is
 * put in `typed`, of `size` bytes. NULL where there is no terminal, no whole line came, or a signal
 * came first. */
const char *lt_password(char *typed, size_t size, const char *prompt);

#endif
