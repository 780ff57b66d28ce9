/* Lists the codes that `loomtag stickers` draws for a description, in its order, as bare_pdf reads
 * them. Usage: payloads DESCRIPTION LAYOUT-FILE, the payload being auto. */
#include <stdio.h>

#include "job.h"

static bool print_slot(struct job *job, const struct lt_slot *slot)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	struct lt_sticker sticker;
	const struct lt_sticker_source source = { &job->tags, job->lookalikes, &job->measure };
	bool good = lt_sticker_place(&sticker, &arena, &job->layout, &source, slot->id,
		&job->options.sticker, &job->diags);
	if (good)
		printf("%u %c %c %s\n", sticker.symbol.plan.version,
			lt_qr_level_letter(sticker.symbol.plan.level),
			"NAB"[sticker.symbol.plan.mode], sticker.symbol.text);
	lt_arena_finish(&arena);
	return good;
}

int main(int argc, char **argv)
{
	if (argc != 3) {
		fprintf(stderr, "usage: payloads DESCRIPTION LAYOUT-FILE\n");
		return 2;
	}
	struct job job;
	bool good = job_open(&job, argv[1], argv[2]);
	for (size_t i = 0; good && i < job.sheet.count; i++)
		good = print_slot(&job, &job.sheet.slots[i]);
	job_close(&job);
	return good ? 0 : 1;
}
