#include "terminal.h"

#include <stdlib.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "loomtag/length.h"

enum { COLUMNS_LEAST = 10, COLUMNS_MOST = 500, COLUMNS_USUAL = 80 };

unsigned terminal_columns(void)
{
	unsigned columns = COLUMNS_USUAL;
	struct winsize size = { 0 };
	const char *given = getenv("COLUMNS");
	if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
		columns = size.ws_col;
	else if (given != NULL && !lt_whole_read(&columns, given, COLUMNS_MOST))
		columns = COLUMNS_USUAL;
	if (columns < COLUMNS_LEAST)
		return COLUMNS_LEAST;
	return columns < COLUMNS_MOST ? columns : COLUMNS_MOST;
}
