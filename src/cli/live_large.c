/* Tags large enough to be read at arm's length. */
#include <string.h>

#include "cli/live_screen.h"

/* Characters five wide and five high: a tag can be read from across the bench. */
static const char *large_glyph(char c)
{
	static const struct {
		char c;
		const char *rows;
	} glyphs[] = {
		{ '0', ".###.#...##...##...#.###." },
		{ '1', "..#...##....#....#...###." },
		{ '2', "####.....#.###.#....#####" },
		{ '3', "####.....#..##.....#####." },
		{ '4', "#..#.#..#.#####...#....#." },
		{ '5', "######....####.....#####." },
		{ '6', ".###.#....####.#...#.###." },
		{ '7', "#####....#...#...#....#.." },
		{ '8', ".###.#...#.###.#...#.###." },
		{ '9', ".###.#...#.####....#.###." },
		{ 'H', "#...##...#######...##...#" },
		{ 'M', "#...###.###.#.##...##...#" },
		{ 'X', "#...#.#.#...#...#.#.#...#" },
		{ '+', ".......#...###...#......." },
	};
	for (size_t i = 0; i < sizeof(glyphs) / sizeof(glyphs[0]); i++)
		if (glyphs[i].c == c)
			return glyphs[i].rows;
	return ".........................";
}

void lt_live_add_large(struct lt_text *out, const struct lt_live *live, const char *text)
{
	enum { SIZE = 5, INDENT = 4 };
	if (INDENT + strlen(text) * (SIZE + 1) > lt_live_columns(live))
		return;
	for (size_t row = 0; row < SIZE; row++) {
		bool ink = false;
		lt_text_add_times(out, ' ', INDENT);
		for (const char *c = text; *c != '\0'; c++)
			for (size_t i = 0; i <= SIZE; i++) {
				const bool dot = i < SIZE && large_glyph(*c)[row * SIZE + i] == '#';
				if (dot != ink)
					lt_text_add(out, dot ? "\033[7m" : "\033[0m");
				ink = dot;
				lt_text_add_char(out, ' ');
			}
		lt_text_add_char(out, '\n');
	}
}
