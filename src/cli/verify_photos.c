/* loomtag verify --photos: pictures of joints in place of scans. */
#include <stdio.h>
#include <string.h>

#include "cli/verification.h"

#include "loomtag/photo.h"

static json_t *clean_string(const char *text)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, text, strlen(text));
	json_t *string = json_string(lt_text_string(&clean));
	lt_text_finish(&clean);
	return string;
}

static enum lt_stage stage_of(const struct verification *verification)
{
	return lt_job_state_stage(lt_work_state(verification->work));
}

static json_t *tags_json(const struct lt_pair *pair)
{
	json_t *list = json_array();
	for (size_t i = 0; i < pair->code_count; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, pair->codes[i].scan.number, pair->codes[i].scan.side);
		json_array_append_new(list, json_string(tag));
	}
	return list;
}

static json_t *others_json(const struct lt_pair *pair)
{
	json_t *list = json_array();
	for (size_t i = 0; i < pair->other_count; i++)
		json_array_append_new(list, clean_string(pair->others[i]));
	return list;
}

/* A picture's row in the JSON; `pair` is NULL for one that could not be read. */
static void add_row(struct verification *verification, const char *name, const struct lt_pair *pair)
{
	static const struct lt_pair nothing;
	json_t *verdict = json_null();
	if (pair != NULL && pair->kind == LT_PAIR_WHOLE)
		verdict = json_string(lt_verdict_name(pair->answer.verdict));
	const char *shows = pair != NULL ? lt_pair_kind_name(pair->kind) : "unreadable";
	if (pair == NULL)
		pair = &nothing;
	json_array_append_new(verification->photos,
		json_pack("{s:o, s:s, s:o, s:o, s:o}", "photo", clean_string(name), "shows", shows,
			"verdict", verdict, "tags", tags_json(pair), "others", others_json(pair)));
}

/* One line; what stops the work stands out of those that went well by its first word. */
static void print_line(const struct verification *verification, const char *name,
	const struct lt_pair *pair)
{
	const struct options *options = verification->options;
	if (options->json || options->quiet)
		return;
	struct lt_text line = { 0 };
	const char *slash = strrchr(name, '/');
	const char *base = slash != NULL && slash[1] != '\0' ? slash + 1 : name;
	lt_text_add_clean(&line, base, strlen(base));
	lt_text_add(&line, "  ");
	lt_pair_words(&line, pair, &verification->session->tags, stage_of(verification));
	puts(lt_text_string(&line));
	fflush(stdout);
	lt_text_finish(&line);
}

/* Feeds what a picture shows; false when it could not be kept. */
static bool feed_pair(struct verification *verification, struct lt_pair *pair, const char *name,
	unsigned line)
{
	struct lt_diags *diags = verification->diags;
	if (!lt_work_picture(verification->work, name, diags))
		return false;
	for (size_t i = 0; i < lt_pair_scans(pair, stage_of(verification)); i++) {
		struct lt_answer answer;
		const char *text = pair->codes[i].text;
		if (!lt_verification_scan(verification, &answer, line, text, strlen(text)))
			return false;
		lt_pair_take(pair, i, &answer);
	}
	return lt_work_picture(verification->work, NULL, diags);
}

/* EXIT_INPUT when it cannot be read, EXIT_SYSTEM when it could not be kept. */
static int verify_photo(struct verification *verification, const char *name, unsigned line)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	const char **texts;
	size_t count;
	int code = EXIT_YES;
	struct lt_pair pair;
	if (!lt_picture_read(&texts, &count, &arena, name, verification->diags)) {
		add_row(verification, name, NULL);
		code = EXIT_INPUT;
	} else {
		lt_pair_sort(&pair, &arena, texts, count,
			lt_job_state_machine(lt_work_state(verification->work),
				stage_of(verification)));
		if (feed_pair(verification, &pair, name, line)) {
			print_line(verification, name, &pair);
			add_row(verification, name, &pair);
		} else {
			code = EXIT_SYSTEM;
		}
	}
	lt_session_print_diags(verification->session);
	lt_arena_finish(&arena);
	return code;
}

int lt_verify_photos(struct verification *verification)
{
	const struct options *options = verification->options;
	int code = EXIT_YES;
	verification->photos = json_array();
	for (int i = 1; i < options->argument_count && code != EXIT_SYSTEM; i++) {
		const int one = verify_photo(verification, options->arguments[i], (unsigned)i);
		if (one != EXIT_YES)
			code = one;
	}
	return code;
}
