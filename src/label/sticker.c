/* Makes one sticker: what its symbol says, how long it is, what goes where. */
#include <math.h>

#include "label/face.h"
#include "loomtag/label.h"

/* Tapes are cut in steps of so many mm. */
#define TAPE_STEP 0.5

/* One way to make a sticker. */
struct attempt {
	struct lt_symbol symbol;
	bool beside;
	struct lt_face_rank rank;
	bool placed; /* it is what was placed last */
};

/* What is to be made. */
struct task {
	struct lt_face_work work;
	const struct lt_layout *layout;
	const struct lt_tags *tags;
	size_t connector;
	enum lt_side side;
	double bundle; /* mm, or 0 */
	struct lt_line lines[LT_LINES_MAX];
};

const char *lt_box_role_name(enum lt_box_role role)
{
	static const char *const names[LT_BOX_ROLE_COUNT] = { "tag", "underline", "QR code",
		"banner", "look-alikes", "name", "wire colours", "mate", "harness code" };
	return role < LT_BOX_ROLE_COUNT ? names[role] : "";
}

/* True when nothing is left to be wished for. */
static bool is_perfect(const struct lt_face_rank *rank)
{
	return rank->number_height > 0 && rank->left_out == 0 && rank->shortened == 0 &&
	       rank->small == 0;
}

/* Places with the tag above the texts and beside them, where the first loses something. On a tape
 * beside comes first: the number is as tall as the tape allows, and length is there to be had. */
static void try_faces(struct attempt *attempt, struct lt_sticker *out, const struct task *task,
	const struct lt_blank *blank)
{
	attempt->beside = blank->endless;
	attempt->placed = true;
	attempt->rank = lt_face_place(out, &task->work, blank, &attempt->symbol, attempt->beside);
	if (is_perfect(&attempt->rank))
		return;
	struct lt_face_rank other =
		lt_face_place(out, &task->work, blank, &attempt->symbol, !attempt->beside);
	attempt->placed = lt_face_better(&other, &attempt->rank);
	if (attempt->placed) {
		attempt->beside = !attempt->beside;
		attempt->rank = other;
	}
}

static bool choose_symbol(struct attempt *attempt, const struct task *task,
	const struct lt_blank *blank, enum lt_payload payload, bool small, struct lt_diags *diags)
{
	const struct lt_symbol_wish wish = { payload, small, task->work.options->least_dots };
	return lt_symbol_choose(&attempt->symbol, task->work.arena, blank, task->tags,
		task->connector, task->side, &wish, diags);
}

/* Finds the best way on one blank. False, with an error, when there is no symbol. */
static bool find_way(struct attempt *best, struct lt_sticker *out, const struct task *task,
	const struct lt_blank *blank, struct lt_diags *diags)
{
	const struct lt_sticker_options *options = task->work.options;
	enum lt_payload payload = options->payload;
	if (!choose_symbol(best, task, blank, payload, false, diags))
		return false;
	try_faces(best, out, task, blank);
	if (best->rank.number_height >= lt_height_preferred(options->distance))
		return true;
	/* The tag comes before the symbol's size; and where it could not be read, before what else
	 * the symbol could say. */
	enum lt_payload chosen = best->symbol.payload;
	bool readable = best->rank.number_height >= lt_height_least(options->distance);
	for (int step = 0; step < 2; step++) {
		if (step == 1 && (readable || payload != LT_PAYLOAD_AUTO))
			break;
		struct attempt other;
		if (!choose_symbol(&other, task, blank, step == 0 ? chosen : LT_PAYLOAD_CODE, true,
			    diags))
			return false;
		try_faces(&other, out, task, blank);
		best->placed = false;
		if (other.rank.number_height > best->rank.number_height)
			*best = other;
		readable = best->rank.number_height >= lt_height_least(options->distance);
	}
	return true;
}

static struct lt_blank blank_for(const struct task *task, double length)
{
	return lt_blank_of(task->layout, length, task->bundle);
}

/* The shortest face on which all is as good as on the longest; on a tape alone is there a choice.
 */
static double find_length(struct lt_sticker *out, const struct task *task,
	const struct attempt *best)
{
	unsigned shortest = (unsigned)ceil(task->layout->shortest / TAPE_STEP);
	unsigned longest = (unsigned)(task->layout->longest / TAPE_STEP);
	while (shortest < longest) {
		unsigned middle = shortest + (longest - shortest) / 2;
		struct lt_blank blank = blank_for(task, middle * TAPE_STEP);
		struct lt_face_rank rank =
			lt_face_place(out, &task->work, &blank, &best->symbol, best->beside);
		if (lt_face_as_good(&rank, &best->rank))
			longest = middle;
		else
			shortest = middle + 1;
	}
	return longest * TAPE_STEP;
}

static void tell_no_room(const struct task *task, const struct lt_blank *blank,
	const struct attempt *best, struct lt_diags *diags)
{
	const struct lt_connector *connector = &task->tags->harness->connectors[task->connector];
	lt_error(diags, connector->place,
		"connector %s: number %u has no room at a readable size (%.1f mm) beside its QR code "
		"on layout %s (%.4g x %.4g mm to print on)",
		connector->id, task->tags->number_of[task->connector],
		task->work.options->least_text, task->layout->name, blank->width, blank->height);
	lt_hint(diags, "take a larger label%s",
		best->symbol.payload != LT_PAYLOAD_CODE ? ", or payload code" : "");
}

/* The face's length of a longest label; a flag's label also has another face and the loop. */
static double longest_face(const struct lt_layout *layout)
{
	return layout->medium == LT_MEDIUM_TAPE ? layout->longest : 0;
}

/* The smallest capitals of what keeps a plug off a wrong mate; 0 where nothing does. */
static double find_warning_height(const struct lt_sticker *sticker,
	const struct lt_measure *measure)
{
	double least = 0;
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		if (box->role != LT_BOX_BANNER && box->role != LT_BOX_LOOKALIKES)
			continue;
		double capital = box->size * measure->heights(measure->data, box->face).capital;
		least = least > 0 ? fmin(least, capital) : capital;
	}
	return least;
}

static void finish_sticker(struct lt_sticker *out, const struct task *task,
	const struct attempt *best, double length)
{
	struct lt_blank blank = blank_for(task, length);
	if (!best->placed || blank.endless)
		lt_face_place(out, &task->work, &blank, &best->symbol, best->beside);
	lt_layout_shape(&out->shape, task->layout, length, task->bundle);
	out->payload = best->symbol.payload;
	out->plan = best->symbol.plan;
	out->payload_text = best->symbol.text;
	out->module = best->symbol.module;
	out->dots = best->symbol.dots;
	out->quality = best->symbol.quality;
	out->number_height = best->rank.number_height;
	out->warning_height = find_warning_height(out, task->work.measure);
	out->bend = lt_blank_bend(task->layout, task->bundle,
		best->symbol.plan.modules * best->symbol.module);
}

bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector, enum lt_side side,
	const struct lt_sticker_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	*out = (struct lt_sticker){
		.number = tags->number_of[connector], .side = side, .connector = connector
	};
	if (options->bundles != NULL)
		out->bundle = options->bundles[connector];
	struct task task = { .work = { arena, options, measure, NULL, 0 },
		.layout = layout,
		.tags = tags,
		.connector = connector,
		.side = side,
		.bundle = out->bundle.diameter };
	if (!lt_layout_check_fit(layout, &tags->harness->connectors[connector], task.bundle,
		    options->known, diags))
		return false;
	task.work.lines = task.lines;
	task.work.line_count = lt_lines_write(task.lines, arena, tags, lookalikes, connector, side,
		options, measure);
	double length = longest_face(layout);
	struct lt_blank blank = blank_for(&task, length);
	struct attempt best;
	if (!find_way(&best, out, &task, &blank, diags))
		return false;
	if (best.rank.number_height <= 0) {
		tell_no_room(&task, &blank, &best, diags);
		return false;
	}
	if (layout->medium == LT_MEDIUM_TAPE)
		length = find_length(out, &task, &best);
	finish_sticker(out, &task, &best, length);
	return true;
}
