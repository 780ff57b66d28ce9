/* Reading a picture in a child process. The libraries that decode pictures and codes are large, and
 * a picture can be made so that they take minutes, or that they crash: neither may keep the program
 * from what else there is to verify. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "photo/child.h"
#include "photo/picture.h"

/* A picture of a camera has more pixels than a code needs; what is above is scaled down as it is
 * read. At 16 million, the module of a code that fills a tenth of the width has 15 pixels. */
enum { PIXELS_MOST = 16000000 };

/* A picture of 12 million pixels takes one to two seconds of a slow processor. */
enum { SECONDS_LEAST = 2, PIXELS_A_SECOND = 2000000 };

/* Before its size is known, a picture has as long as the largest. A progressive JPEG of 50 million
 * pixels takes 300 MB, and the program has some of its own. */
static const struct lt_child_limits limits = {
	.seconds = SECONDS_LEAST + PIXELS_MOST / PIXELS_A_SECOND,
	.memory = (size_t)2000 << 20,
	.answer = (size_t)16 << 20,
};

/* What the child hands over is a row of parts: a letter, which says what it is, a text, and a NUL.
 */
enum { PART_CODE = 'c', PART_ERROR = 'e', PART_HINT = 'h', PART_LEAST = 2 };

static void add_part(struct lt_text *out, char kind, const char *text)
{
	lt_text_add_char(out, kind);
	lt_text_add_bytes(out, text, strlen(text) + 1);
}

struct file {
	const char *path;
	const char *bytes;
	size_t length;
};

static void read_file(struct lt_text *answer, void *data)
{
	const struct file *file = data;
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { NULL };
	struct lt_image image;
	if (lt_image_read(&image, lt_place_file(file->path), file->path,
		    (const unsigned char *)file->bytes, file->length, PIXELS_MOST, &diags)) {
		const char **codes;
		const size_t pixels = (size_t)image.width * image.height;
		lt_child_hurry((unsigned)(SECONDS_LEAST + pixels / PIXELS_A_SECOND));
		const size_t count = lt_picture_codes(&codes, &arena, &image);
		for (size_t i = 0; i < count; i++)
			add_part(answer, PART_CODE, codes[i]);
	}
	for (size_t i = 0; i < diags.count; i++) {
		add_part(answer, PART_ERROR, diags.items[i].message);
		if (diags.items[i].hint != NULL)
			add_part(answer, PART_HINT, diags.items[i].hint);
	}
	lt_image_finish(&image);
	lt_arena_finish(&arena);
	lt_diags_finish(&diags);
}

static void report_failure(enum lt_child_end end, int error, const char *path,
	struct lt_diags *diags)
{
	if (end == LT_CHILD_NONE) {
		lt_error(diags, lt_place_file(path),
			"cannot be read, because no process can be started: %s", strerror(error));
		return;
	}
	if (end == LT_CHILD_SLOW)
		lt_error(diags, lt_place_file(path),
			"cannot be read: the search for QR codes takes too long");
	else
		lt_error(diags, lt_place_file(path),
			"cannot be read: the search for QR codes failed");
	lt_hint(diags, "take the picture again, with only the two stickers in it");
}

/* Takes the child's answer apart; false where it has an error, or where it is no answer. */
static bool take_answer(const char ***out, size_t *count, struct lt_arena *arena,
	const struct lt_text *answer, const char *path, struct lt_diags *diags)
{
	const char *at = lt_text_string(answer);
	const char *end = at + answer->length;
	const size_t errors = diags->errors;
	size_t found = 0;
	*out = lt_arena_array(arena, answer->length / PART_LEAST + 1, sizeof(**out));
	while (at < end) {
		const char kind = *at;
		const char *text = at + 1;
		at = text + strlen(text) + 1;
		if (at > end)
			report_failure(LT_CHILD_FAILED, 0, path, diags);
		else if (kind == PART_CODE)
			(*out)[found++] = lt_arena_strdup(arena, text);
		else if (kind == PART_ERROR)
			lt_error(diags, lt_place_file(path), "%s", text);
		else if (kind == PART_HINT)
			lt_hint(diags, "%s", text);
	}
	*count = diags->errors == errors ? found : 0;
	return diags->errors == errors;
}

bool lt_picture_read(const char ***out, size_t *count, struct lt_arena *arena, const char *path,
	struct lt_diags *diags)
{
	char *bytes;
	struct file file = { .path = path };
	*out = NULL;
	*count = 0;
	if (!lt_file_read(&bytes, &file.length, path, LT_IMAGE_BYTES_MOST, diags))
		return false;
	file.bytes = bytes;
	struct lt_text answer;
	const enum lt_child_end end = lt_child_run(&answer, &limits, read_file, &file);
	const int error = errno;
	free(bytes);
	bool good = end == LT_CHILD_DONE;
	if (good)
		good = take_answer(out, count, arena, &answer, path, diags);
	else
		report_failure(end, error, path, diags);
	lt_text_finish(&answer);
	return good;
}
