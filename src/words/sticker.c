/* What stickers and their QR codes say, and what the commands that make stickers report. */
#include "loomtag/words.h"

const struct lt_sticker_words lt_sticker_words = {
	.old_part = "OLD PART",
	.new_part = "NEW PART",
	.fit_unknown = "fit unknown",
};

const struct lt_sticker_run_words lt_sticker_run_words = {
	.title = "Stickers",
	.preview = "preview, nothing printed",
	.figures_heading =
		"sticker layout         payload code  modules dots    module read from    number "
		"read from  bundle\n",
	.bundle_source = {
		[LT_BUNDLE_UNKNOWN] = "not known",
		[LT_BUNDLE_MEASURED] = "measured",
		[LT_BUNDLE_PACKING] = "computed",
		[LT_BUNDLE_RULE] = "estimated",
	},
	.no_unit = "No unit given: stickers of two identical modules look the same. Give a unit "
		   "with --unit.",
};

void lt_words_stick_over(struct lt_text *out, const char *tag, unsigned shortening)
{
	if (shortening == 0)
		lt_text_printf(out, "OLD PART: STICK OVER %s", tag);
	else if (shortening == 1)
		lt_text_printf(out, "STICK OVER %s", tag);
	else
		lt_text_printf(out, "OVER %s", tag);
}

void lt_words_not_on(struct lt_text *out, const unsigned *numbers, size_t listed, size_t more)
{
	struct lt_text list = { 0 };
	for (size_t i = 0; i < listed; i++)
		lt_text_printf(&list, i == 0 ? "%u" : ", %u", numbers[i]);
	if (more > 0)
		lt_text_printf(out, "not on %s +%zu", lt_text_string(&list), more);
	else
		lt_text_printf(out, "not on %s", lt_text_string(&list));
	lt_text_finish(&list);
}

void lt_words_sticker_mate(struct lt_text *out, enum lt_side side, const char *mate)
{
	if (side == LT_SIDE_H)
		lt_text_printf(out, "\xE2\x86\x92 %s", mate);
	else
		lt_text_printf(out, "on %s", mate);
}

/* Adds a value, or nothing for NULL, on one line: white space and control characters become one
 * space. `before` separates it from what the text holds already. */
static void add_value(struct lt_text *out, const char *before, const char *value)
{
	bool gap = false;
	bool first = true;
	for (; value != NULL && *value != '\0'; value++) {
		if ((unsigned char)*value <= ' ' || *value == 0x7F) {
			gap = true;
			continue;
		}
		if (first && out->length > 0)
			lt_text_add(out, before);
		else if (!first && gap)
			lt_text_add_char(out, ' ');
		lt_text_add_char(out, *value);
		gap = false;
		first = false;
	}
}

/* "X1 motor power to M1 vent motor PWR" */
static void add_joint(struct lt_text *out, const struct lt_harness *harness,
	const struct lt_connector *connector)
{
	struct lt_text own = { 0 };
	struct lt_text mate = { 0 };
	add_value(&own, " ", connector->id);
	add_value(&own, " ", connector->name);
	if (connector->component != LT_NONE) {
		const struct lt_component *component = &harness->components[connector->component];
		add_value(&mate, " ", component->id);
		add_value(&mate, " ", component->name);
	}
	add_value(&mate, " ", connector->port);
	if (mate.length > 0)
		lt_text_printf(out, "%s to %s", lt_text_string(&own), lt_text_string(&mate));
	else
		lt_text_add(out, lt_text_string(&own));
	lt_text_finish(&own);
	lt_text_finish(&mate);
}

void lt_words_code_joint(struct lt_text *out, const struct lt_harness *harness,
	const struct lt_connector *connector)
{
	struct lt_text facts = { 0 };
	struct lt_text wires = { 0 };
	add_joint(&facts, harness, connector);
	add_value(&facts, "; ", connector->where);
	lt_connector_wires(&wires, connector);
	add_value(&facts, "; ", lt_text_string(&wires));
	lt_text_add(out, lt_text_string(&facts));
	lt_text_finish(&wires);
	lt_text_finish(&facts);
}

static void add_harness_facts(struct lt_text *out, const struct lt_harness *harness)
{
	struct lt_text item = { 0 };
	size_t joints = harness->connector_count;
	add_value(out, "; ", harness->title);
	lt_text_printf(&item, lt_plural(joints, "%zu joint", "%zu joints"), joints);
	add_value(out, "; ", lt_text_string(&item));
	if (harness->revision != NULL) {
		lt_text_clear(&item);
		lt_text_printf(&item, "revision %s", harness->revision);
		add_value(out, "; ", lt_text_string(&item));
	}
	if (harness->unit != NULL) {
		lt_text_clear(&item);
		lt_text_printf(&item, "unit %s", harness->unit);
		add_value(out, "; ", lt_text_string(&item));
	}
	lt_text_finish(&item);
}

void lt_words_map_code(struct lt_text *out, const struct lt_harness *harness,
	const struct lt_connector *connector, unsigned number)
{
	struct lt_text facts = { 0 };
	if (connector == NULL)
		add_harness_facts(&facts, harness);
	else
		lt_words_code_joint(&facts, harness, connector);
	if (number != 0)
		lt_text_printf(out, "%s map %u: %s", harness->code, number, lt_text_string(&facts));
	else
		lt_text_printf(out, "%s map: %s", harness->code, lt_text_string(&facts));
	lt_text_finish(&facts);
}

void lt_words_stickers_progress(struct lt_text *out, size_t done, size_t all)
{
	lt_text_printf(out, "%zu of %zu stickers", done, all);
}

void lt_words_stickers_for(struct lt_text *out, size_t stickers, const char *layout)
{
	lt_text_printf(out, lt_plural(stickers, "%zu sticker for %s", "%zu stickers for %s"),
		stickers, layout);
}

void lt_words_stickers_on_pages(struct lt_text *out, size_t stickers, unsigned pages,
	const char *layout)
{
	lt_text_printf(out,
		lt_plural(pages,
			lt_plural(stickers, "%zu sticker on %u page of %s",
				"%zu stickers on %u page of %s"),
			lt_plural(stickers, "%zu sticker on %u pages of %s",
				"%zu stickers on %u pages of %s")),
		stickers, pages, layout);
}

void lt_words_stickers_on_labels(struct lt_text *out, size_t stickers, unsigned labels,
	const char *layout)
{
	lt_text_printf(out,
		lt_plural(labels,
			lt_plural(stickers, "%zu sticker on %u label of %s",
				"%zu stickers on %u label of %s"),
			lt_plural(stickers, "%zu sticker on %u labels of %s",
				"%zu stickers on %u labels of %s")),
		stickers, labels, layout);
}

void lt_words_stickers_on_tape(struct lt_text *out, size_t stickers, double length,
	const char *layout)
{
	lt_text_printf(out,
		lt_plural(stickers, "%zu sticker on %.0f mm of %s",
			"%zu stickers on %.0f mm of %s"),
		stickers, length, layout);
}

void lt_words_payload_on(struct lt_text *out, const char *payload, size_t stickers)
{
	lt_text_printf(out, "%s on %zu", payload, stickers);
}

void lt_words_stickers_made(struct lt_text *out, const char *file, const char *stickers,
	const char *payloads)
{
	if (file != NULL)
		lt_text_printf(out, "%s: %s; QR codes: %s", file, stickers, payloads);
	else
		lt_text_printf(out, "%s; QR codes: %s", stickers, payloads);
}

void lt_words_figures_bend(struct lt_text *out, double degrees)
{
	lt_text_printf(out, "code goes round %.0f degrees", degrees);
}

void lt_words_figures_foot(struct lt_text *out, double distance, double least, double preferred)
{
	lt_text_printf(out,
		"code: QR version and level of error correction. dots: in the side of a module; "
		"on sheets for a printer with 600 dpi.\n"
		"A scanner reads a code from about ten times its width.\n"
		"The eye reads a number from its height divided by 0.004 (NUREG-0700).\n"
		"To be read at %g mm a number must be %.1f mm high, better %.1f mm.\n",
		distance, least, preferred);
}
