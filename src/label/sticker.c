/* Makes one sticker: what its QR code holds, how long it is, what goes where. */
#include <math.h>

#include "label/sticker.h"

#define PI 3.14159265358979323846

/* Tapes are cut in steps of so many mm. */
#define TAPE_STEP 0.5

/* One way to make a sticker. */
struct attempt {
	struct lt_symbol symbol;
	bool beside;
	struct lt_face_rank rank;
	bool placed; /* it is what was placed last */
};

const char *lt_box_role_name(enum lt_box_role role)
{
	static const char *const names[LT_BOX_ROLE_COUNT] = { "tag", "underline", "QR code",
		"OLD PART or NEW PART", "\"not on\" line", "name", "wire colours", "mate",
		"harness code" };
	return role < LT_BOX_ROLE_COUNT ? names[role] : "";
}

/* True when all of it found room at its best size. */
static bool is_perfect(const struct lt_face_rank *rank)
{
	return rank->number_height > 0 && rank->left_out == 0 && rank->shortened == 0 &&
	       rank->small == 0;
}

/* Places with the tag above the texts and beside them, where the first loses something. On a tape
 * beside comes first: the number is as tall as the tape allows, and length is there to be had. */
static void try_faces(struct attempt *attempt, struct lt_sticker *out,
	const struct lt_placing *placing, const struct lt_blank *blank)
{
	attempt->beside = blank->endless;
	attempt->placed = true;
	attempt->rank = lt_face_place(out, placing, blank, &attempt->symbol, attempt->beside);
	if (is_perfect(&attempt->rank))
		return;
	struct lt_face_rank other =
		lt_face_place(out, placing, blank, &attempt->symbol, !attempt->beside);
	attempt->placed = lt_face_better(&other, &attempt->rank);
	if (attempt->placed) {
		attempt->beside = !attempt->beside;
		attempt->rank = other;
	}
}

/* Finds the best way on one blank. False, with an error, when there is no symbol. */
static bool find_way(struct attempt *best, struct lt_sticker *out, const struct lt_placing *placing,
	const struct lt_blank *blank, struct lt_diags *diags)
{
	const struct lt_sticker_options *options = placing->options;
	enum lt_payload payload = options->payload;
	if (!lt_symbol_choose(&best->symbol, placing, blank, payload, false, diags))
		return false;
	try_faces(best, out, placing, blank);
	if (best->rank.number_height >= lt_height_preferred(options->distance))
		return true;
	/* The tag comes before the symbol's size; and where it could not be read, before what else
	 * the symbol could hold. */
	enum lt_payload chosen = best->symbol.payload;
	bool readable = best->rank.number_height >= lt_height_least(options->distance);
	for (int step = 0; step < 2; step++) {
		if (step == 1 && (readable || options->payload != LT_PAYLOAD_AUTO))
			break;
		struct attempt other;
		payload = step == 0 ? chosen : LT_PAYLOAD_CODE;
		if (!lt_symbol_choose(&other.symbol, placing, blank, payload, true, diags))
			return false;
		try_faces(&other, out, placing, blank);
		best->placed = false;
		if (other.rank.number_height > best->rank.number_height)
			*best = other;
		readable = best->rank.number_height >= lt_height_least(options->distance);
	}
	return true;
}

/* The shortest face on which all is as good as on the longest; on a tape alone is there a choice.
 */
static double find_length(struct lt_sticker *out, const struct lt_placing *placing,
	const struct attempt *best)
{
	unsigned shortest = (unsigned)ceil(placing->layout->shortest / TAPE_STEP);
	unsigned longest = (unsigned)(placing->layout->longest / TAPE_STEP);
	while (shortest < longest) {
		unsigned middle = shortest + (longest - shortest) / 2;
		struct lt_blank blank =
			lt_blank_of(placing->layout, middle * TAPE_STEP, placing->bundle);
		struct lt_face_rank rank =
			lt_face_place(out, placing, &blank, &best->symbol, best->beside);
		if (lt_face_as_good(&rank, &best->rank))
			longest = middle;
		else
			shortest = middle + 1;
	}
	return longest * TAPE_STEP;
}

static void report_no_room(const struct lt_placing *placing, const struct lt_blank *blank,
	const struct attempt *best, struct lt_diags *diags)
{
	const struct lt_connector *connector =
		&placing->source->tags->harness->connectors[placing->id.connector];
	lt_error(diags, connector->place,
		"connector %s: number %u has no room at a readable size (%.1f mm) beside its QR code "
		"on layout %s (%.4g x %.4g mm to print on)",
		connector->id, placing->source->tags->number_of[placing->id.connector],
		placing->options->least_text, placing->layout->name, blank->width, blank->height);
	if (best->symbol.payload != LT_PAYLOAD_CODE)
		lt_hint(diags, "use a larger label or --payload code");
	else
		lt_hint(diags, "use a larger label");
}

/* The smallest capitals of what warns of a wrong mate; 0 where nothing does. */
static double find_warning_height(const struct lt_sticker *sticker,
	const struct lt_measure *measure)
{
	double least = 0;
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		if (box->role != LT_BOX_BANNER && box->role != LT_BOX_LOOKALIKES)
			continue;
		double capital = lt_box_capital(box, measure);
		least = least > 0 ? fmin(least, capital) : capital;
	}
	return least;
}

static void finish_sticker(struct lt_sticker *out, const struct lt_placing *placing,
	const struct attempt *best, double length)
{
	const struct lt_layout *layout = placing->layout;
	struct lt_blank blank = lt_blank_of(layout, length, placing->bundle);
	if (!best->placed || blank.endless)
		lt_face_place(out, placing, &blank, &best->symbol, best->beside);
	lt_layout_shape(&out->shape, layout, length, placing->bundle);
	out->symbol = best->symbol;
	out->number_height = best->rank.number_height;
	out->warning_height = find_warning_height(out, placing->source->measure);
	bool flat = layout->style != LT_STYLE_WRAP || !(placing->bundle > 0);
	out->bend =
		flat ? 0
		     : 360 * out->symbol.plan.modules * out->symbol.module / (PI * placing->bundle);
}

bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_sticker_source *source,
	struct lt_sticker_id id, const struct lt_sticker_options *options, struct lt_diags *diags)
{
	const struct lt_tags *tags = source->tags;
	*out = (struct lt_sticker){
		.number = tags->number_of[id.connector], .side = id.side, .connector = id.connector
	};
	if (options->bundles != NULL)
		out->bundle = options->bundles[id.connector];
	struct lt_placing placing = { arena, layout, source, id, options,
		.bundle = out->bundle.diameter };
	if (!lt_layout_check_fit(layout, &tags->harness->connectors[id.connector], placing.bundle,
		    options->known, diags))
		return false;
	placing.line_count = lt_lines_write(placing.lines, arena, source, id);
	/* A face's length counts on a tape alone, and is first that of a longest label. */
	double length = layout->longest;
	struct lt_blank blank = lt_blank_of(layout, length, placing.bundle);
	struct attempt best;
	if (!find_way(&best, out, &placing, &blank, diags))
		return false;
	if (best.rank.number_height <= 0) {
		report_no_room(&placing, &blank, &best, diags);
		return false;
	}
	if (layout->medium == LT_MEDIUM_TAPE)
		length = find_length(out, &placing, &best);
	finish_sticker(out, &placing, &best, length);
	return true;
}
