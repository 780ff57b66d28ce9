/* All layouts at print size, on A4. */
#include <math.h>
#include <stdlib.h>

#include "loomtag/page.h"
#include "loomtag/words.h"
#include "sheet/sheet.h"
#include "sheet/specimen_label.h"

#define MARGIN 10.0
#define HEAD 12.0
#define FOOT 12.0
#define GAP 6.0 /* between labels */
#define HEAD_SIZE 4.5
#define NAME_SIZE 3.2
#define TEXT_SIZE 2.8
#define LEADING 4.2
#define CAPTIONS 3
#define BAR 100.0

struct entry {
	struct lt_specimen_label label;
	const char *captions[CAPTIONS];
	double scale;
	double width, height; /* with what stands below it */
	double x, y;
	size_t page;
};

struct contact {
	struct lt_arena arena;
	struct lt_canvas *canvas;
	const struct lt_measure *measure;
	struct lt_diags *diags;
	double page_width, page_height;
	struct entry *entries;
	size_t count, pages;
};

/* "tape of 12 mm, flag" */
static const char *size_caption(struct lt_arena *arena, const struct lt_layout *layout)
{
	struct lt_text text = { 0 };
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, 0, 0);
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_words_contact_tape(&text, layout->label_height);
	else
		lt_text_printf(&text, "%g x %g mm", shape.faces[0].width, shape.faces[0].height);
	if (layout->style == LT_STYLE_FLAG)
		lt_text_printf(&text, ", %s", lt_specimen_words.flag);
	else if (layout->style == LT_STYLE_WRAP)
		lt_text_printf(&text, ", %s", lt_specimen_words.wrap);
	return lt_arena_text(arena, &text);
}

static const char *bundle_caption(struct lt_arena *arena, const struct lt_layout *layout,
	double scale)
{
	struct lt_text text = { 0 };
	char bundles[LT_BUNDLES_SIZE];
	if (scale < 1)
		lt_words_contact_scale(&text, 1 / scale);
	else if (!isinf(lt_layout_bundles(layout).most))
		lt_words_contact_bundles(&text, lt_layout_bundle_words(bundles, layout));
	return lt_arena_text(arena, &text);
}

static const struct {
	enum lt_typeface face;
	double size;
} caption_type[CAPTIONS] = {
	{ LT_TYPEFACE_BOLD, NAME_SIZE },
	{ LT_TYPEFACE_REGULAR, TEXT_SIZE },
	{ LT_TYPEFACE_REGULAR, TEXT_SIZE },
};

/* A caption that fits on the page. */
static const char *shorten(struct contact *contact, size_t line, const char *text)
{
	char shortened[512];
	lt_text_shorten(shortened, sizeof(shortened), contact->measure, caption_type[line].face,
		caption_type[line].size, text, contact->page_width - 2 * MARGIN);
	return lt_arena_strdup(&contact->arena, shortened);
}

static void make_entry(struct contact *contact, struct entry *entry, const struct lt_layout *layout)
{
	struct lt_arena *arena = &contact->arena;
	lt_specimen_label_init(&entry->label, layout, contact->measure);
	const struct lt_shape *shape = &entry->label.shape;
	double captions = CAPTIONS * LEADING + 1;
	double across = shape->width / (contact->page_width - 2 * MARGIN);
	double down =
		(shape->height) / (contact->page_height - 2 * MARGIN - HEAD - FOOT - captions);
	entry->scale = 1 / fmax(1, ceil(fmax(across, down) - 1e-9));
	entry->captions[0] = shorten(contact, 0, layout->name);
	entry->captions[1] = shorten(contact, 1, size_caption(arena, layout));
	entry->captions[2] = shorten(contact, 2, bundle_caption(arena, layout, entry->scale));
	entry->width = shape->width * entry->scale;
	size_t lines = entry->captions[2][0] != '\0' ? CAPTIONS : CAPTIONS - 1;
	entry->height = shape->height * entry->scale + 1 + (double)lines * LEADING;
	for (size_t i = 0; i < CAPTIONS; i++)
		entry->width =
			fmax(entry->width, lt_text_width(contact->measure, caption_type[i].face,
						   caption_type[i].size, entry->captions[i]));
}

/* From left to right, then in the next row, then on the next page. */
static void lay_out(struct contact *contact)
{
	double right = contact->page_width - MARGIN;
	double bottom = contact->page_height - MARGIN - FOOT;
	double x = MARGIN;
	double y = MARGIN + HEAD;
	double row = 0;
	size_t page = 0;
	for (size_t i = 0; i < contact->count; i++) {
		struct entry *entry = &contact->entries[i];
		if (x > MARGIN && x + entry->width > right) {
			x = MARGIN;
			y += row + GAP;
			row = 0;
		}
		/* The row began with lower labels than this one. */
		if (y > MARGIN + HEAD && y + entry->height > bottom) {
			page++;
			x = MARGIN;
			y = MARGIN + HEAD;
			row = 0;
		}
		entry->x = x;
		entry->y = y;
		entry->page = page;
		x += entry->width + GAP;
		row = fmax(row, entry->height);
	}
	contact->pages = page + 1;
}

static bool draw_entry(const struct contact *contact, const struct entry *entry)
{
	struct lt_canvas *canvas = contact->canvas;
	double y = entry->y + entry->label.shape.height * entry->scale + 1;
	for (size_t i = 0; i < CAPTIONS; i++, y += LEADING) {
		lt_text_draw(canvas, contact->measure, entry->x, y, caption_type[i].face,
			caption_type[i].size, entry->captions[i]);
	}
	const struct lt_specimen_style style = { entry->scale, false };
	return lt_specimen_label_draw(canvas, &entry->label, &style, entry->x, entry->y,
		contact->measure, contact->diags);
}

/* To see whether the page was printed as large as it is. */
static void draw_bar(const struct contact *contact)
{
	struct lt_canvas *canvas = contact->canvas;
	double y = contact->page_height - MARGIN - 2;
	canvas->line(canvas->data, MARGIN, y, MARGIN + BAR, y, 0.25, LT_BLACK);
	for (int i = 0; i <= 10; i++) {
		double x = MARGIN + BAR * i / 10;
		canvas->line(canvas->data, x, y - (i % 5 == 0 ? 2.5 : 1.5), x, y, 0.25, LT_BLACK);
	}
	canvas->text(canvas->data, MARGIN + BAR + 3, y, LT_TYPEFACE_REGULAR, TEXT_SIZE, LT_BLACK,
		lt_specimen_words.bar);
}

static bool draw_page(const struct contact *contact, size_t page)
{
	struct lt_canvas *canvas = contact->canvas;
	canvas->begin_page(canvas->data, contact->page_width, contact->page_height);
	struct lt_text number = { 0 };
	lt_words_contact_page(&number, page + 1, contact->pages);
	double width = lt_text_width(contact->measure, LT_TYPEFACE_REGULAR, TEXT_SIZE,
		lt_text_string(&number));
	canvas->text(canvas->data, MARGIN, MARGIN + HEAD_SIZE, LT_TYPEFACE_BOLD, HEAD_SIZE,
		LT_BLACK, lt_specimen_words.heading);
	canvas->text(canvas->data, contact->page_width - MARGIN - width, MARGIN + HEAD_SIZE,
		LT_TYPEFACE_REGULAR, TEXT_SIZE, LT_BLACK, lt_text_string(&number));
	lt_text_finish(&number);
	draw_bar(contact);
	bool good = true;
	for (size_t i = 0; i < contact->count; i++) {
		if (contact->entries[i].page == page)
			good = draw_entry(contact, &contact->entries[i]) && good;
	}
	return canvas->end_page(canvas->data, contact->diags) && good;
}

bool lt_specimen_contact(struct lt_canvas *canvas, const struct lt_layout *layouts, size_t count,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct contact contact = {
		.canvas = canvas, .measure = measure, .diags = diags, .count = count
	};
	lt_paper_size(&contact.page_width, &contact.page_height, LT_PAPER_A4);
	contact.entries = lt_alloc_array(count, sizeof(*contact.entries));
	for (size_t i = 0; i < count; i++)
		make_entry(&contact, &contact.entries[i], &layouts[i]);
	lay_out(&contact);
	bool good = true;
	for (size_t page = 0; page < contact.pages && good; page++)
		good = draw_page(&contact, page);
	for (size_t i = 0; i < count; i++)
		lt_specimen_label_finish(&contact.entries[i].label);
	free(contact.entries);
	lt_arena_finish(&contact.arena);
	return good;
}
