/* The overview of the harness map: what is placed where, measured apart from the code that decides
 * it. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "build.h"
#include "by_id.h"
#include "loomtag/map.h"
#include "loomtag/words.h"
#include "map/overview.h"
#include "random_harness.h"
#include "record_canvas.h"

#define HAIR 1e-6
#define RANDOM_HARNESSES 200

static const char *const samples[] = { "samples/dome-shutter.yaml", "samples/mast-head.yaml",
	"samples/seed-gantry.yaml" };

static const double papers[][2] = { { 297, 210 }, { 210, 297 }, { 420, 297 }, { 297, 420 },
	{ 279.4, 215.9 }, { 215.9, 279.4 }, { 431.8, 279.4 }, { 279.4, 431.8 } };
#define PAPERS (sizeof papers / sizeof *papers)

/* How good a page is: the fewer crossings the better, then the shorter, then the more even.
 * `length` is that of all branches, and LT_OVERVIEW_APART more for each box of a component beyond
 * its first. */
struct quality {
	size_t crossings; /* pairs of branches that meet, and of a branch and another's cell */
	double length;
	size_t imbalance; /* labels above less those below, or the reverse */
};

struct reach {
	double left, top, right, bottom;
};

static struct reach reach_of(const struct lt_overview_branch *branch, size_t piece)
{
	double x1 = branch->x[piece], x2 = branch->x[piece + 1];
	double y1 = branch->y[piece], y2 = branch->y[piece + 1];
	return (struct reach){ fmin(x1, x2), fmin(y1, y2), fmax(x1, x2), fmax(y1, y2) };
}

static bool meet(struct reach a, struct reach b)
{
	return a.left <= b.right + HAIR && b.left <= a.right + HAIR && a.top <= b.bottom + HAIR &&
	       b.top <= a.bottom + HAIR;
}

/* Pieces lie along or across the page, so where they reach is where they are. */
static bool branches_meet(const struct lt_overview_branch *a, const struct lt_overview_branch *b)
{
	for (size_t i = 0; i + 1 < a->count; i++)
		for (size_t j = 0; j + 1 < b->count; j++)
			if (meet(reach_of(a, i), reach_of(b, j)))
				return true;
	return false;
}

static bool runs_through(const struct lt_overview_branch *branch, const struct lt_map_area *box)
{
	struct reach reach = { box->x, box->y, box->x + box->width, box->y + box->height };
	for (size_t i = 0; i + 1 < branch->count; i++)
		if (meet(reach_of(branch, i), reach))
			return true;
	return false;
}

static double length_of(const struct lt_overview_branch *branch)
{
	double length = 0;
	for (size_t i = 0; i + 1 < branch->count; i++)
		length += fabs(branch->x[i + 1] - branch->x[i]) +
			  fabs(branch->y[i + 1] - branch->y[i]);
	return length;
}

static bool has_box_before(const struct lt_overview_page *page, size_t index)
{
	for (size_t i = 0; i < index; i++)
		if (page->components[i].component == page->components[index].component)
			return true;
	return false;
}

static struct quality quality_of(const struct lt_overview_page *page)
{
	struct quality quality = { 0 };
	size_t above = 0;
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		above += label->above;
		quality.length += length_of(&label->branch);
		for (size_t j = 0; j < i; j++)
			quality.crossings += branches_meet(&label->branch, &page->labels[j].branch);
		for (size_t j = 0; j < page->label_count; j++)
			quality.crossings +=
				j != i && runs_through(&label->branch, &page->labels[j].cell);
		for (size_t j = 0; j < page->component_count; j++)
			quality.crossings += runs_through(&label->branch, &page->components[j].box);
	}
	for (size_t i = 0; i < page->component_count; i++)
		if (has_box_before(page, i))
			quality.length += LT_OVERVIEW_APART;
	size_t below = page->label_count - above;
	quality.imbalance = above > below ? above - below : below - above;
	return quality;
}

static int compare_quality(struct quality a, struct quality b)
{
	if (a.crossings != b.crossings)
		return a.crossings < b.crossings ? -1 : 1;
	if (fabs(a.length - b.length) > 1e-3)
		return a.length < b.length ? -1 : 1;
	if (a.imbalance != b.imbalance)
		return a.imbalance < b.imbalance ? -1 : 1;
	return 0;
}

static void place(struct lt_overview *overview, struct fixture *fixture,
	const struct lt_overview_options *options)
{
	struct lt_measure measure = record_measure();
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture->diags.arena, &fixture->tags, fixture->lookalikes,
		&measure);
	assert_true(lt_overview_place(overview, &input, options, &fixture->diags));
}

static bool overlap(const struct lt_map_area *a, const struct lt_map_area *b)
{
	return a->x < b->x + b->width - HAIR && b->x < a->x + a->width - HAIR &&
	       a->y < b->y + b->height - HAIR && b->y < a->y + a->height - HAIR;
}

static bool inside(const struct lt_map_area *a, const struct lt_map_area *b)
{
	return a->x >= b->x - HAIR && a->y >= b->y - HAIR &&
	       a->x + a->width <= b->x + b->width + HAIR &&
	       a->y + a->height <= b->y + b->height + HAIR;
}

static void assert_apart(const struct lt_map_area *a, const struct lt_map_area *b)
{
	if (overlap(a, b))
		fail_msg("%g %g %g %g meets %g %g %g %g", a->x, a->y, a->width, a->height, b->x,
			b->y, b->width, b->height);
}

static void assert_inside(const struct lt_map_area *a, const struct lt_map_area *b)
{
	if (!inside(a, b))
		fail_msg("%g %g %g %g leaves %g %g %g %g", a->x, a->y, a->width, a->height, b->x,
			b->y, b->width, b->height);
}

/* Twice the area of a triangle, with its sign. */
static double turn(const double a[2], const double b[2], const double c[2])
{
	return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

static bool on(const double a[2], const double b[2], const double p[2])
{
	return fabs(turn(a, b, p)) < HAIR && p[0] >= fmin(a[0], b[0]) - HAIR &&
	       p[0] <= fmax(a[0], b[0]) + HAIR && p[1] >= fmin(a[1], b[1]) - HAIR &&
	       p[1] <= fmax(a[1], b[1]) + HAIR;
}

/* Whether two pieces of line cross or touch, in whatever direction they go. */
static bool pieces_meet(const double a[2], const double b[2], const double c[2], const double d[2])
{
	bool cross = turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
	return cross || on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b);
}

static size_t count_meetings(const struct lt_overview_branch *a, const struct lt_overview_branch *b)
{
	size_t count = 0;
	for (size_t i = 0; i + 1 < a->count; i++) {
		for (size_t j = 0; j + 1 < b->count; j++) {
			const double a1[2] = { a->x[i], a->y[i] }, b1[2] = { b->x[j], b->y[j] };
			const double a2[2] = { a->x[i + 1], a->y[i + 1] };
			const double b2[2] = { b->x[j + 1], b->y[j + 1] };
			count += pieces_meet(a1, a2, b1, b2);
		}
	}
	return count;
}

static struct lt_map_area piece_box(const struct lt_overview_branch *branch, size_t i)
{
	return (struct lt_map_area){
		.x = fmin(branch->x[i], branch->x[i + 1]) - 0.1,
		.y = fmin(branch->y[i], branch->y[i + 1]) - 0.1,
		.width = fabs(branch->x[i + 1] - branch->x[i]) + 0.2,
		.height = fabs(branch->y[i + 1] - branch->y[i]) + 0.2,
	};
}

/* Two lines are seen as two: there is white between them. */
static void check_distance(const struct lt_overview_branch *a, const struct lt_overview_branch *b)
{
	const double apart = 1.0;
	for (size_t i = 0; i + 1 < a->count; i++) {
		for (size_t j = 0; j + 1 < b->count; j++) {
			struct lt_map_area one = piece_box(a, i), other = piece_box(b, j);
			double x = fmax(one.x, other.x) -
				   fmin(one.x + one.width, other.x + other.width) + 0.2;
			double y = fmax(one.y, other.y) -
				   fmin(one.y + one.height, other.y + other.height) + 0.2;
			if (x < apart && y < apart)
				fail_msg("branches are %g by %g mm apart", x, y);
		}
	}
}

/* Texts do not meet each other, nor the trunk, nor badges and boxes but the one they are in. */
static void check_texts(const struct lt_overview_page *page, const struct lt_map_area *paper,
	double least)
{
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		assert_true(text->size >= least - HAIR);
		assert_true(text->text[0] != '\0');
		assert_inside(&text->box, paper);
		assert_apart(&text->box, &page->trunk);
		for (size_t j = 0; j < i; j++)
			assert_apart(&text->box, &page->texts[j].box);
		for (size_t j = 0; j < page->component_count; j++) {
			const struct lt_map_area *box = &page->components[j].box;
			if (text->role != LT_OVERVIEW_COMPONENT)
				assert_apart(&text->box, box);
			else if (overlap(&text->box, box))
				assert_inside(&text->box, box);
		}
		for (size_t j = 0; j < page->label_count; j++) {
			const struct lt_overview_label *label = &page->labels[j];
			if (label->connector == text->connector)
				assert_inside(&text->box, &label->cell);
			else
				assert_apart(&text->box, &label->cell);
			if (text->role != LT_OVERVIEW_BADGE)
				assert_apart(&text->box, &label->badge);
		}
	}
}

/* Branches begin at the trunk, end at their badge, and meet nothing between. */
static void check_branches(const struct lt_overview_page *page)
{
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		const struct lt_overview_branch *branch = &label->branch;
		size_t last = branch->count - 1;
		double edge = label->above ? page->trunk.y : page->trunk.y + page->trunk.height;
		assert_true(fabs(branch->y[0] - edge) < HAIR);
		assert_true(branch->x[0] >= page->trunk.x &&
			    branch->x[0] <= page->trunk.x + page->trunk.width);
		assert_true(fabs(branch->x[last] - label->badge.x) < HAIR);
		assert_true(branch->y[last] > label->badge.y &&
			    branch->y[last] < label->badge.y + label->badge.height);
		for (size_t j = 0; j < i; j++) {
			assert_int_equal(count_meetings(branch, &page->labels[j].branch), 0);
			check_distance(branch, &page->labels[j].branch);
		}
		for (size_t piece = 0; piece + 1 < branch->count; piece++) {
			struct lt_map_area box = piece_box(branch, piece);
			for (size_t j = 0; j < page->text_count; j++)
				assert_apart(&box, &page->texts[j].box);
			for (size_t j = 0; j < page->component_count; j++)
				assert_apart(&box, &page->components[j].box);
			for (size_t j = 0; j < page->label_count; j++)
				if (j != i)
					assert_apart(&box, &page->labels[j].cell);
		}
	}
}

static void check_boxes(const struct lt_overview_page *page)
{
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		assert_inside(&label->cell, &page->board);
		assert_inside(&label->badge, &label->cell);
		assert_apart(&label->cell, &page->trunk);
		for (size_t j = 0; j < i; j++)
			assert_apart(&label->cell, &page->labels[j].cell);
		if (i > 0)
			assert_true(label->place >= label[-1].place);
	}
	for (size_t i = 0; i < page->component_count; i++) {
		const struct lt_map_area *box = &page->components[i].box;
		assert_inside(box, &page->board);
		assert_apart(box, &page->trunk);
		for (size_t j = 0; j < i; j++)
			assert_apart(box, &page->components[j].box);
		for (size_t j = 0; j < page->label_count; j++)
			assert_apart(box, &page->labels[j].cell);
	}
	for (size_t i = 0; i < page->sign_count; i++) {
		size_t owner = 0;
		while (page->labels[owner].connector != page->signs[i].connector)
			owner++;
		assert_inside(&page->signs[i].box, &page->labels[owner].cell);
		for (size_t j = 0; j < i; j++)
			assert_apart(&page->signs[i].box, &page->signs[j].box);
		for (size_t j = 0; j < page->text_count; j++)
			if (page->texts[j].role != LT_OVERVIEW_SIGN)
				assert_apart(&page->signs[i].box, &page->texts[j].box);
	}
}

/* Where the trunk is to scale, the places at its ends stand there, and nowhere else. */
static void check_ends(const struct lt_overview_page *page)
{
	size_t from = 0, to = 0;
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		if (text->role != LT_OVERVIEW_TRUNK || strstr(text->text, "page") != NULL)
			continue;
		double place = strtod(text->text, NULL);
		double left = page->trunk.x - text->box.x - text->box.width;
		double right = text->box.x - page->trunk.x - page->trunk.width;
		from += left > 0 && left < 2 && fabs(place - page->from) < 0.051;
		to += right > 0 && right < 2 && fabs(place - page->to) < 0.051;
		assert_non_null(strstr(text->text, " mm"));
	}
	assert_int_equal(from, page->to_scale ? 1 : 0);
	assert_int_equal(to, page->to_scale ? 1 : 0);
}

/* Where the trunk is to scale, branches are where their places are. */
static void check_scale(const struct lt_overview_page *page)
{
	double left = page->trunk.x + LT_OVERVIEW_TRUNK_END;
	double width = page->trunk.width - 2 * LT_OVERVIEW_TRUNK_END;
	check_ends(page);
	for (size_t i = 0; i < page->label_count && page->to_scale; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		double span = page->to - page->from;
		double share = span > 0 ? (label->place - page->from) / span : 0.5;
		double off = label->branch.x[0] - (left + share * width);
		assert_true(fabs(off) <= LT_OVERVIEW_OFF_SCALE + HAIR);
	}
}

/* A name is whole, on two lines at most, unless they are full and it ends in an ellipsis. */
static void check_name(const struct lt_overview_page *page, const struct lt_overview_label *label,
	const struct lt_harness *harness)
{
	const struct lt_connector *connector = &harness->connectors[label->connector];
	const char *rest = connector->name != NULL ? connector->name : connector->id;
	struct lt_measure measure = record_measure();
	double right = label->cell.x + label->cell.width;
	size_t lines = 0;
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		if (text->role != LT_OVERVIEW_NAME || text->connector != label->connector)
			continue;
		lines++;
		rest += strspn(rest, " ");
		if (text->shortened) {
			double width = lt_text_width(&measure, text->face, text->size, rest);
			assert_true(width > right - text->box.x - HAIR);
			assert_int_equal(lines, 2);
			rest = "";
			continue;
		}
		assert_int_equal(strncmp(rest, text->text, strlen(text->text)), 0);
		rest += strlen(text->text);
	}
	assert_true(lines == 1 || lines == 2);
	assert_string_equal(rest, "");
}

/* A line that is seen leads from the label to the box beside it, and through no text. */
static void check_mate_line(const struct lt_overview_page *page,
	const struct lt_overview_label *label, const struct lt_map_area *box)
{
	const double least = 1;
	struct lt_map_area line = { label->mate_from, label->mate_y - 0.15,
		label->mate_to - label->mate_from, 0.3 };
	assert_true(label->mates);
	assert_true(line.width >= least);
	assert_true(fabs(label->mate_to - box->x) < HAIR);
	for (size_t i = 0; i < page->text_count; i++)
		assert_apart(&line, &page->texts[i].box);
}

/* A connector that mates something has the box of that beside it, on its own level. */
static void check_mates(const struct lt_overview_page *page, const struct lt_harness *harness)
{
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		size_t component = harness->connectors[label->connector].component;
		size_t beside = 0;
		for (size_t j = 0; j < page->component_count; j++) {
			const struct lt_overview_component *box = &page->components[j];
			double middle = label->badge.y + label->badge.height / 2;
			double right = label->cell.x + label->cell.width;
			bool level = middle > box->box.y && middle < box->box.y + box->box.height;
			if (level && box->box.x > right && box->box.x < right + 4) {
				assert_int_equal(box->component, component);
				check_mate_line(page, label, &box->box);
				beside++;
			}
		}
		assert_int_equal(beside, component == LT_NONE ? 0 : 1);
	}
}

/* Each connector is on one page, and each page says where the trunk goes on. */
static void check_whole(const struct lt_overview *overview, const struct lt_harness *harness)
{
	size_t count = 0;
	bool *seen = lt_alloc_array(harness->connector_count, sizeof *seen);
	double last = -INFINITY;
	for (size_t i = 0; i < overview->page_count; i++) {
		const struct lt_overview_page *page = &overview->pages[i];
		assert_int_equal(page->before, i);
		assert_int_equal(page->after, i + 1 < overview->page_count ? i + 2 : 0);
		for (size_t j = 0; j < page->label_count; j++) {
			assert_false(seen[page->labels[j].connector]);
			seen[page->labels[j].connector] = true;
			assert_true(page->labels[j].place >= last);
			last = page->labels[j].place;
			count++;
		}
	}
	assert_int_equal(count, harness->connector_count);
	free(seen);
}

static void check_page(const struct lt_overview *overview, size_t index,
	const struct lt_overview_options *options, const struct lt_harness *harness)
{
	const struct lt_overview_page *page = &overview->pages[index];
	const struct lt_map_area paper = { options->margin, options->margin + options->head,
		options->width - 2 * options->margin,
		options->height - 2 * options->margin - options->head - options->foot };
	assert_inside(&page->board, &paper);
	assert_inside(&page->trunk, &page->board);
	check_texts(page, &paper, options->text_least);
	check_branches(page);
	check_boxes(page);
	check_mates(page, harness);
	check_scale(page);
	for (size_t i = 0; i < page->label_count; i++)
		check_name(page, &page->labels[i], harness);
}

/* Checks all that is promised of any harness; returns how much better than the alternating order.
 */
static double check_all(struct fixture *fixture, struct lt_overview_options options)
{
	struct lt_overview overview, alternating;
	place(&overview, fixture, &options);
	check_whole(&overview, &fixture->harness);
	options.alternating = true;
	place(&alternating, fixture, &options);
	assert_int_equal(overview.page_count, alternating.page_count);
	double better = 0;
	for (size_t i = 0; i < overview.page_count; i++) {
		check_page(&overview, i, &options, &fixture->harness);
		struct quality ours = quality_of(&overview.pages[i]);
		struct quality theirs = quality_of(&alternating.pages[i]);
		assert_int_equal(ours.crossings, 0);
		assert_true(compare_quality(ours, theirs) <= 0);
		for (size_t j = 0; j < alternating.pages[i].label_count; j++)
			assert_true(alternating.pages[i].labels[j].above == (j % 2 == 0));
		better += theirs.length - ours.length;
	}
	lt_overview_finish(&alternating);
	lt_overview_finish(&overview);
	return better;
}

static void samples_are_placed_as_promised_on_every_paper(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		struct fixture fixture;
		fixture_read_sample(&fixture, samples[i]);
		for (size_t j = 0; j < PAPERS; j++) {
			struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
			options.width = papers[j][0];
			options.height = papers[j][1];
			options.head = j % 2 == 0 ? 0 : 24;
			options.foot = j % 3 == 0 ? 0 : 12;
			check_all(&fixture, options);
		}
		fixture_finish(&fixture);
	}
}

static void random_harnesses_are_placed_as_promised(void **state)
{
	(void)state;
	uint64_t seed = 0x5EED0FA1100DULL;
	double better = 0;
	for (unsigned i = 0; i < RANDOM_HARNESSES; i++) {
		struct fixture fixture;
		/* All sizes from 1 to 300, small ones more often. */
		unsigned most = i % 4 == 0 ? 300 : i % 4 == 1 ? 100 : 30;
		unsigned count = i == 0 ? 300 : 1 + build_random(&seed, most);
		random_harness(&fixture, &seed, count, false);
		struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
		options.width = papers[i % PAPERS][0];
		options.height = papers[i % PAPERS][1];
		better += check_all(&fixture, options);
		fixture_finish(&fixture);
	}
	/* The search is of use. */
	assert_true(better > 1000);
}

/* The first text with this role (and of this connector, unless LT_NONE) that begins with `start`.
 */
static const struct lt_overview_text *find_text(const struct lt_overview_page *page,
	enum lt_overview_role role, size_t connector, const char *start)
{
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		bool of = connector == LT_NONE || text->connector == connector;
		if (text->role == role && of && strncmp(text->text, start, strlen(start)) == 0)
			return text;
	}
	return NULL;
}

static void assert_says(const struct lt_overview_page *page, enum lt_overview_role role,
	size_t connector, const char *text)
{
	const struct lt_overview_text *found = find_text(page, role, connector, text);
	if (found == NULL)
		fail_msg("connector %zu does not say \"%s\"", connector, text);
	else
		assert_string_equal(found->text, text);
}

/* Each names what its own `after` does, whatever those come after in their turn. */
static void joints_with_no_number_are_named_by_their_id(void **state)
{
	(void)state;
	static const char yaml[] = "harness: RV3\nconnectors:\n"
				   "  - {id: X1, family: a}\n"
				   "  - {id: X2, family: b}\n"
				   "  - {id: C1, kind: clip, tag: none, after: [X1, X2]}\n"
				   "  - {id: X3, family: c, after: [C1, X2]}\n"
				   "  - {id: C2, kind: clip, tag: none, after: [C1]}\n";
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read(&fixture, "rv3.yaml", yaml);
	place(&overview, &fixture, &options);
	const struct lt_overview_page *page = &overview.pages[0];
	assert_says(page, LT_OVERVIEW_MARK, 2, "no number; after 1, 2");
	assert_says(page, LT_OVERVIEW_MARK, 3, "after 2, C1 (no number)");
	assert_says(page, LT_OVERVIEW_MARK, 4, "no number; after C1 (no number)");
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void labels_say_what_the_description_says(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read_sample(&fixture, samples[0]);
	place(&overview, &fixture, &options);
	assert_int_equal(overview.page_count, 1);
	const struct lt_overview_page *page = &overview.pages[0];
	const struct lt_harness *harness = &fixture.harness;
	size_t motor = connector_by_id(harness, "X6");
	assert_says(page, LT_OVERVIEW_BADGE, motor, "6");
	assert_says(page, LT_OVERVIEW_NAME, motor, "motor power");
	assert_says(page, LT_OVERVIEW_ID, motor, "X6 → PWR, at 320 mm");
	assert_says(page, LT_OVERVIEW_PLACE, motor, "behind the left cover");
	assert_says(page, LT_OVERVIEW_MARK, motor, "after 13");
	assert_says(page, LT_OVERVIEW_SIGN, motor, "B");
	assert_says(page, LT_OVERVIEW_SIGN, motor, "!");
	size_t thermal = connector_by_id(harness, "X9");
	assert_says(page, LT_OVERVIEW_MARK, thermal, "on paper");
	assert_null(find_text(page, LT_OVERVIEW_SIGN, thermal, ""));
	size_t cover = connector_by_id(harness, "C1");
	assert_says(page, LT_OVERVIEW_MARK, cover, "no number; after 6, 9, 11");
	assert_says(page, LT_OVERVIEW_BADGE, cover, "–");
	assert_says(page, LT_OVERVIEW_COMPONENT, LT_NONE, "M1 shutter motor");
	assert_says(page, LT_OVERVIEW_COMPONENT, LT_NONE, "NEW PART");
	assert_says(page, LT_OVERVIEW_LIST, LT_NONE,
		"A: 2, 3, 4: each would also fit the mates of the others");
	assert_says(page, LT_OVERVIEW_LIST, LT_NONE,
		"B: 6, 7: each would also fit the mates of the others");
	assert_non_null(find_text(page, LT_OVERVIEW_HAZARD, LT_NONE, "DANGER: mains 230 V"));
	assert_non_null(find_text(page, LT_OVERVIEW_HAZARD, LT_NONE, "WARNING: compressed air"));
	for (size_t i = 0; i < page->component_count; i++) {
		size_t component = page->components[i].component;
		assert_true(page->components[i].replaced == harness->components[component].replace);
	}
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		const struct lt_connector *connector = &harness->connectors[label->connector];
		assert_true(label->guessed == !connector->has_at);
		assert_int_equal(label->number, fixture.tags.number_of[label->connector]);
		assert_int_equal(label->marking, connector->marking);
	}
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* The words of an entry of the foot, its lines joined by spaces. */
static void read_list(struct lt_text *said, const struct lt_overview_page *page, const char *sign)
{
	lt_text_clear(said);
	for (size_t i = 0; i < page->list_count; i++) {
		if (strcmp(page->lists[i].sign, sign) != 0)
			continue;
		for (size_t j = 0; j < page->text_count; j++)
			if (page->texts[j].role == LT_OVERVIEW_LIST &&
				page->texts[j].box.x >= page->lists[i].box.x - HAIR &&
				page->texts[j].box.x < page->lists[i].box.x + 1 &&
				page->texts[j].box.y <
					page->lists[i].box.y + page->lists[i].box.height &&
				page->texts[j].box.y > page->lists[i].box.y - 1)
				lt_text_printf(said, "%s%s", said->length > 0 ? " " : "",
					page->texts[j].text);
	}
}

static void facts_of_joints_are_true(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	struct lt_text said = { 0 };
	fixture_read(&fixture, "said.yaml",
		"harness: SAID\n"
		"hazards:\n"
		"  - {energy: mains, isolate: pull PA7, prove: dead at x1-X3 and Motor}\n"
		"components:\n"
		"  - {id: M1}\n"
		"connectors:\n"
		"  - {id: X1, family: f, mates: M1, port: 7}\n"
		"  - {id: X2, family: f, key: A, mates: M1, port: CNA}\n"
		"  - {id: X3, family: f, key: B}\n"
		"  - {id: pa7, family: g}\n"
		"  - {id: X, family: h}\n");
	place(&overview, &fixture, &options);
	const struct lt_overview_page *page = &overview.pages[0];
	read_list(&said, page, "A");
	struct lt_text expected = { 0 };
	lt_text_add(&expected, "A: ");
	lt_overview_add_some(&expected, "1 with 2, 3; 2 with 1; 3 with 1", true);
	assert_string_equal(lt_text_string(&said), lt_text_string(&expected));
	read_list(&said, page, "!");
	lt_text_clear(&expected);
	lt_text_printf(&expected, "!: %s", lt_map_words.hazard_means);
	assert_string_equal(lt_text_string(&said), lt_text_string(&expected));
	lt_text_finish(&expected);
	assert_says(page, LT_OVERVIEW_NAME, 0, "X1");
	assert_says(page, LT_OVERVIEW_ID, 0, "→ port 7");
	assert_says(page, LT_OVERVIEW_ID, 1, "→ CNA");
	static const bool dangers[] = { true, false, true, true, false };
	for (size_t i = 0; i < sizeof dangers / sizeof *dangers; i++)
		assert_true(dangers[i] == (find_text(page, LT_OVERVIEW_SIGN, i, "!") != NULL));
	lt_text_finish(&said);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* A component in the middle of others' joints: each of its boxes says that it is the same. */
static void components_drawn_twice_are_marked(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: TWICE\ncomponents:\n  - {id: V0, name: manifold}\n");
	for (unsigned i = 0; i < 80; i++)
		lt_text_printf(&yaml, "  - {id: M%u}\n", i);
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < 80; i++)
		lt_text_printf(&yaml, "  - {id: X%u, family: f%u, mates: %s%u, at: %u mm}\n", i, i,
			i % 40 == 5 ? "V" : "M", i % 40 == 5 ? 0 : i, 10 * i);
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read(&fixture, "twice.yaml", lt_text_string(&yaml));
	lt_text_finish(&yaml);
	place(&overview, &fixture, &options);
	size_t boxes = 0, said = 0;
	for (size_t i = 0; i < overview.page_count; i++) {
		const struct lt_overview_page *page = &overview.pages[i];
		for (size_t j = 0; j < page->component_count; j++)
			boxes += page->components[j].component == 0;
		for (size_t j = 0; j < page->text_count; j++)
			said += page->texts[j].role == LT_OVERVIEW_COMPONENT &&
				strcmp(page->texts[j].text, "same part, 2 boxes") == 0;
	}
	assert_int_equal(boxes, 2);
	assert_int_equal(said, 2);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void every_page_is_complete_in_itself(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read_sample(&fixture, samples[2]);
	place(&overview, &fixture, &options);
	assert_true(overview.page_count > 1);
	for (size_t i = 0; i < overview.page_count; i++) {
		const struct lt_overview_page *page = &overview.pages[i];
		char words[32];
		assert_non_null(find_text(page, LT_OVERVIEW_HAZARD, LT_NONE, "HAZARD: mains"));
		assert_non_null(find_text(page, LT_OVERVIEW_HAZARD, LT_NONE, "HAZARD: gantry"));
		snprintf(words, sizeof words, "from page %zu", i);
		assert_true((find_text(page, LT_OVERVIEW_TRUNK, LT_NONE, words) != NULL) ==
			    (i > 0));
		snprintf(words, sizeof words, "to page %zu", i + 2);
		assert_true((find_text(page, LT_OVERVIEW_TRUNK, LT_NONE, words) != NULL) ==
			    (i + 1 < overview.page_count));
		/* Every sign on the page is explained on it. */
		for (size_t j = 0; j < page->text_count; j++) {
			if (page->texts[j].role != LT_OVERVIEW_SIGN)
				continue;
			snprintf(words, sizeof words, "%s: ", page->texts[j].text);
			assert_non_null(find_text(page, LT_OVERVIEW_LIST, LT_NONE, words));
		}
	}
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static const struct lt_overview_label *label_of(const struct lt_overview_page *page,
	size_t connector)
{
	for (size_t i = 0; i < page->label_count; i++)
		if (page->labels[i].connector == connector)
			return &page->labels[i];
	fail_msg("connector %zu is not there", connector);
	return NULL;
}

static void joints_without_a_place_lie_between_the_others(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read(&fixture, "places.yaml",
		"harness: PL\nconnectors:\n  - id: A\n  - {id: B, at: 100 mm}\n  - id: C\n"
		"  - id: D\n  - {id: E, at: 400 mm}\n  - id: F\n");
	place(&overview, &fixture, &options);
	/* From the datum; by thirds; and as far beyond the last as they are apart on average. */
	static const double places[] = { 50, 100, 200, 300, 400, 475 };
	for (size_t i = 0; i < 6; i++) {
		const struct lt_overview_label *label = label_of(&overview.pages[0], i);
		assert_true(fabs(label->place - places[i]) < HAIR);
		assert_true(label->guessed == (i != 1 && i != 4));
	}
	assert_true(overview.pages[0].to_scale);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void places_are_written_in_full(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read(&fixture, "far.yaml",
		"harness: FA\nconnectors:\n  - {id: A, at: 10000 mm}\n  - {id: B, at: 1234.5 mm}\n");
	place(&overview, &fixture, &options);
	assert_says(&overview.pages[0], LT_OVERVIEW_ID, 0, "at 10000 mm");
	assert_says(&overview.pages[0], LT_OVERVIEW_ID, 1, "at 1234.5 mm");
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* A place along the harness is not broken between number and unit. */
static void places_stay_on_a_line(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read_sample(&fixture, samples[2]);
	size_t ports = 0;
	place(&overview, &fixture, &options);
	for (size_t i = 0; i < overview.page_count; i++)
		for (size_t j = 0; j < overview.pages[i].text_count; j++) {
			const char *text = overview.pages[i].texts[j].text;
			assert_int_not_equal(strncmp(text, "mm", 2), 0);
			ports += strstr(text, "→ port ") != NULL;
		}
	assert_int_equal(ports, 12);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void branches_leave_the_trunk_to_scale(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	fixture_read_sample(&fixture, samples[0]);
	place(&overview, &fixture, &options);
	const struct lt_overview_page *page = &overview.pages[0];
	assert_true(page->to_scale);
	const struct lt_overview_label *first = &page->labels[0];
	const struct lt_overview_label *last = &page->labels[page->label_count - 1];
	double scale = (last->branch.x[0] - first->branch.x[0]) / (last->place - first->place);
	for (size_t i = 0; i < page->label_count; i++) {
		double x = first->branch.x[0] + scale * (page->labels[i].place - first->place);
		assert_true(fabs(x - page->labels[i].branch.x[0]) < 2);
	}
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void joints_of_one_component_lie_side_by_side(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	options.height = 420;
	fixture_read(&fixture, "mates.yaml",
		"harness: MT\ncomponents:\n  - id: M1\n  - id: M2\n  - id: M3\nconnectors:\n"
		"  - {id: A, mates: M1, at: 100 mm}\n  - {id: B, mates: M2, at: 100 mm}\n"
		"  - {id: C, mates: M3, at: 100 mm}\n  - {id: D, mates: M2, at: 100 mm}\n"
		"  - {id: E, mates: M3, at: 100 mm}\n  - {id: F, mates: M1, at: 100 mm}\n");
	place(&overview, &fixture, &options);
	assert_int_equal(overview.pages[0].component_count, 3);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* A page with nothing on it but these branches, each from (x1, 0) up, along and up again. */
static void make_label(struct lt_overview_label *label, double x1, double x2, double track,
	double top)
{
	*label = (struct lt_overview_label){ .above = true };
	label->cell = (struct lt_map_area){ x2 + 1, -top - 2, 5, 4 };
	label->branch = (struct lt_overview_branch){
		.x = { x1, x1, x2, x2, x2 + 1 }, .y = { 0, -track, -track, -top, -top }, .count = 5
	};
}

static void quality_counts_as_defined(void **state)
{
	(void)state;
	struct lt_overview_label labels[2];
	struct lt_overview_component components[3] = { 0 };
	struct lt_overview_page page = { .labels = labels, .label_count = 2 };
	make_label(&labels[0], 0, 20, 2, 30);
	make_label(&labels[1], 10, 40, 1, 30);
	struct quality nested = quality_of(&page);
	assert_int_equal(nested.crossings, 0);
	assert_true(fabs(nested.length - (20 + 30 + 1 + 30 + 30 + 1)) < HAIR);
	assert_int_equal(nested.imbalance, 2);
	/* The second goes up through the first. */
	make_label(&labels[1], 10, 40, 3, 30);
	struct quality crossed = quality_of(&page);
	assert_int_equal(crossed.crossings, 1);
	assert_true(compare_quality(nested, crossed) < 0);
	assert_true(compare_quality(crossed, nested) > 0);
	/* The second runs along through the first one's cell. */
	make_label(&labels[0], 0, 20, 2, 4);
	make_label(&labels[1], 5, 40, 1, 30);
	labels[1].branch.y[1] = labels[1].branch.y[2] = -5.5;
	labels[1].branch.x[0] = labels[1].branch.x[1] = 21.5;
	assert_int_equal(quality_of(&page).crossings, 1);
	/* Two boxes of one component are apart. */
	make_label(&labels[0], 0, 20, 2, 30);
	make_label(&labels[1], 10, 40, 1, 30);
	labels[1].above = false;
	for (size_t i = 0; i < 3; i++)
		components[i] = (struct lt_overview_component){ i % 2,
			{ 100, (double)i * 10, 5, 5 }, false };
	page.components = components;
	page.component_count = 3;
	struct quality apart = quality_of(&page);
	assert_true(fabs(apart.length - nested.length - LT_OVERVIEW_APART) < HAIR);
	assert_int_equal(apart.imbalance, 0);
	assert_true(compare_quality(nested, apart) < 0);
	apart.length = nested.length;
	assert_true(compare_quality(apart, nested) < 0);
	assert_int_equal(compare_quality(apart, apart), 0);
}

/* Against all ways of choosing sides, where there are few enough to try them all. */
static void sides_are_near_the_best(void **state)
{
	(void)state;
	enum { COUNT = 9, TRIALS = 20 };
	uint64_t seed = 0xBE57B0A4DULL;
	for (unsigned trial = 0; trial < TRIALS; trial++) {
		double x[COUNT], last = 14;
		size_t component[COUNT];
		for (size_t i = 0; i < COUNT; i++) {
			last += build_random(&seed, 58) * 0.5;
			x[i] = last;
			component[i] =
				build_random(&seed, 4) == 0 ? LT_NONE : build_random(&seed, 3);
		}
		const struct lt_overview_grid grid = { .count = COUNT,
			.x = x,
			.component = component,
			.trunk_left = 14,
			.trunk_right = 283,
			.columns = 3,
			.tiers = 3,
			.left = 10,
			.column = 92,
			.channel = 8,
			.tracks = COUNT,
			.pitch = 1.3,
			.first = 21,
			.step = 19 };
		struct lt_overview_seat seats[COUNT] = { 0 };
		double best = INFINITY;
		for (unsigned sides = 0; sides < 1u << COUNT; sides++) {
			for (size_t i = 0; i < COUNT; i++)
				seats[i].above = (sides >> i & 1) != 0;
			best = fmin(best, lt_overview_seat(seats, &grid));
		}
		lt_overview_choose(seats, &grid);
		assert_true(lt_overview_seat(seats, &grid) <= 1.02 * best);
	}
}

static void a_page_without_room_is_refused(void **state)
{
	(void)state;
	static const double sizes[][2] = { { 40, 210 }, { 297, 40 }, { 0, 0 }, { -5, 100 },
		{ NAN, 210 }, { 297, INFINITY }, { 1e9, 1e9 } };
	struct fixture fixture;
	fixture_read_sample(&fixture, samples[0]);
	struct lt_measure measure = record_measure();
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture.diags.arena, &fixture.tags, fixture.lookalikes,
		&measure);
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
		struct lt_overview overview;
		struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
		options.width = sizes[i][0];
		options.height = sizes[i][1];
		size_t errors = fixture.diags.errors;
		assert_false(lt_overview_place(&overview, &input, &options, &fixture.diags));
		assert_int_equal(fixture.diags.errors, errors + 1);
		lt_overview_finish(&overview);
	}
	fixture_finish(&fixture);
	lt_overview_finish(NULL);
}

/* More hazards and groups than there is room for leave the board its room, and are told of. */
static void items_without_room_in_head_and_foot_are_reported(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: FULL\nhazards:\n");
	for (unsigned i = 0; i < 60; i++)
		lt_text_printf(&yaml, "  - {energy: spring %u, isolate: pin it}\n", i);
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < 200; i++)
		lt_text_printf(&yaml, "  - {id: X%u, family: f%u, at: %u mm}\n", i, i % 100,
			10 * i);
	struct fixture fixture;
	fixture_read(&fixture, "full.yaml", lt_text_string(&yaml));
	lt_text_finish(&yaml);
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	options.width = 210;
	options.height = 297;
	check_all(&fixture, options);
	struct lt_overview overview;
	place(&overview, &fixture, &options);
	for (size_t i = 0; i < overview.page_count; i++)
		assert_non_null(find_text(&overview.pages[i], LT_OVERVIEW_HAZARD, LT_NONE,
			"60 HAZARDS: "));
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* All that a page's head says of hazards, lines joined by spaces. */
static void read_hazards(struct lt_text *said, const struct lt_overview_page *page)
{
	lt_text_clear(said);
	for (size_t i = 0; i < page->text_count; i++)
		if (page->texts[i].role == LT_OVERVIEW_HAZARD)
			lt_text_printf(said, "%s%s", said->length > 0 ? " " : "",
				page->texts[i].text);
}

/* 29 CFR 1910.147 (d): shut off and isolated, locked or tagged, stored energy released, verified;
 * (e): restored at the end. */
static void hazard_steps_are_in_the_order_of_the_work(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	struct lt_text said = { 0 };
	fixture_read(&fixture, "order.yaml",
		"harness: ORD\n"
		"hazards:\n"
		"  - {energy: a spring, restore: unpin it, prove: it hangs, isolate: pin it,\n"
		"     signal: caution, harm: it pinches}\n"
		"connectors:\n"
		"  - {id: X1, family: f}\n");
	place(&overview, &fixture, &options);
	assert_int_equal(overview.hazards_page, 0);
	read_hazards(&said, &overview.pages[0]);
	assert_string_equal(lt_text_string(&said),
		"CAUTION: a spring harm: it pinches – isolate: pin it – release: not described: "
		"find out – "
		"prove: it hangs – restore: unpin it");
	lt_text_finish(&said);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void assert_no_hazard_is_cut(const struct lt_overview *overview)
{
	for (size_t i = 0; i < overview->page_count; i++)
		for (size_t j = 0; j < overview->pages[i].text_count; j++)
			if (overview->pages[i].texts[j].role == LT_OVERVIEW_HAZARD)
				assert_false(overview->pages[i].texts[j].shortened);
}

/* So many hazards, each with so many words. */
static void set_up_hazards(struct fixture *fixture, unsigned count, unsigned words)
{
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: HAZ\nhazards:\n");
	for (unsigned i = 0; i < count; i++) {
		lt_text_printf(&yaml, "  - energy: spring %u\n    isolate: pin", i);
		for (unsigned j = 0; j < words; j++)
			lt_text_printf(&yaml, " then%u", j);
		lt_text_add(&yaml, "\n");
	}
	lt_text_add(&yaml, "\nconnectors:\n  - {id: X1, family: f}\n");
	fixture_read(fixture, "hazards.yaml", lt_text_string(&yaml));
	lt_text_finish(&yaml);
}

static void hazards_are_whole_or_on_a_page_that_is_named(void **state)
{
	(void)state;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	struct lt_text said = { 0 }, expected = { 0 };
	for (unsigned i = 0; i < 3; i++) {
		struct fixture fixture;
		struct lt_overview overview;
		set_up_hazards(&fixture, i == 2 ? 900 : i == 1 ? 20 : 3, i == 2 ? 1 : 60);
		place(&overview, &fixture, &options);
		read_hazards(&said, &overview.pages[0]);
		assert_no_hazard_is_cut(&overview);
		assert_int_equal(overview.hazards_page, i == 0 ? 0 : 2);
		if (i == 0)
			assert_non_null(strstr(lt_text_string(&said), " then58 then59 – release"));
		if (i == 1)
			assert_non_null(strstr(lt_text_string(&said), "– spring 18 – spring 19"));
		lt_text_clear(&expected);
		if (i == 1)
			lt_overview_add_energies(&expected, &fixture.harness, 2);
		if (i == 2)
			lt_overview_add_energy_count(&expected, 900, 2);
		if (i > 0)
			assert_string_equal(lt_text_string(&said), lt_text_string(&expected));
		lt_overview_finish(&overview);
		fixture_finish(&fixture);
	}
	lt_text_finish(&said);
	lt_text_finish(&expected);
}

static void lists_without_room_are_reported(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: FULL\nconnectors:\n");
	for (unsigned i = 0; i < 400; i++)
		lt_text_printf(&yaml, "  - {id: X%u, family: f%u, at: %u mm}\n", i, i % 40, i);
	struct fixture fixture;
	fixture_read(&fixture, "full.yaml", lt_text_string(&yaml));
	lt_text_finish(&yaml);
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	options.width = 90;
	options.height = 170;
	check_all(&fixture, options);
	struct lt_overview overview;
	place(&overview, &fixture, &options);
	assert_non_null(find_text(&overview.pages[0], LT_OVERVIEW_LIST, LT_NONE, "more: "));
	for (size_t i = 0; i < overview.page_count; i++)
		assert_true(overview.pages[i].board.height > 0.65 * (170 - 20));
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

/* Short labels beside long components, and the reverse. */
static void cells_are_as_high_as_what_is_in_them(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: HIGH\ncomponents:\n");
	for (unsigned i = 0; i < 30; i++)
		lt_text_printf(&yaml,
			"  - {id: M%u, fate: replace, name: the intermediate bearing on the left, "
			"place: behind the second cover from the very left}\n",
			i);
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < 30; i++)
		lt_text_printf(&yaml, "  - {id: X%u, mates: M%u, family: f%u}\n", i, i, i);
	struct fixture fixture;
	fixture_read(&fixture, "high.yaml", lt_text_string(&yaml));
	lt_text_finish(&yaml);
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	check_all(&fixture, options);
	fixture_finish(&fixture);
}

/* The lines of a name, with a bar between. */
static void read_name(char *out, size_t room, const struct lt_overview_page *page, size_t connector)
{
	size_t at = 0;
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		if (text->role == LT_OVERVIEW_NAME && text->connector == connector)
			at += (size_t)snprintf(out + at, room - at, "%s%s", at > 0 ? "|" : "",
				text->text);
	}
	assert_true(at < room);
}

static void names_break_at_spaces_unless_they_would_be_cut(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	char name[256];
	options.width = 100;
	options.height = 120;
	fixture_read(&fixture, "names.yaml",
		"harness: NM\ncomponents:\n  - id: M1\nconnectors:\n"
		"  - {id: A, mates: M1, name: upper limit switch of the drum brake on left}\n"
		"  - {id: B, mates: M1, name: a bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb}\n"
		"  - {id: C, mates: M1, name: a ccccccccccccccccccccccccccccccccccccccccccccc"
		"ccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccc}\n");
	place(&overview, &fixture, &options);
	read_name(name, sizeof name, &overview.pages[0], 0);
	const char *bar = strchr(name, '|');
	assert_non_null(bar);
	name[bar - name] = ' ';
	assert_string_equal(name, "upper limit switch of the drum brake on left");
	read_name(name, sizeof name, &overview.pages[0], 1);
	assert_non_null(strstr(name, "b|b"));
	assert_null(strstr(name, "…"));
	read_name(name, sizeof name, &overview.pages[0], 2);
	assert_non_null(strstr(name, "…"));
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void a_thousand_connectors_are_placed_quickly(void **state)
{
	(void)state;
	struct fixture fixture;
	uint64_t seed = 0x1000C0DE;
	random_harness(&fixture, &seed, 1000, false);
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	clock_t start = clock();
	place(&overview, &fixture, &options);
	/* Under the sanitizers, on a machine that does other things. */
	assert_true((double)(clock() - start) / CLOCKS_PER_SEC < 5);
	check_whole(&overview, &fixture.harness);
	lt_overview_finish(&overview);
	fixture_finish(&fixture);
}

static void an_empty_harness_has_a_page_with_a_trunk(void **state)
{
	(void)state;
	struct lt_harness harness;
	build_init(&harness, "NIL", 1);
	struct lt_tags tags = { .harness = &harness };
	struct lt_lookalikes *lookalikes = lt_lookalikes_create(&harness);
	struct lt_measure measure = record_measure();
	struct lt_overview overview;
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	struct lt_diags diags = { 0 };
	struct lt_map_input input;
	lt_map_input_init(&input, &diags.arena, &tags, lookalikes, &measure);
	assert_true(lt_overview_place(&overview, &input, &options, &diags));
	assert_int_equal(overview.page_count, 1);
	assert_int_equal(overview.pages[0].label_count, 0);
	assert_true(overview.pages[0].trunk.width > 200);
	lt_overview_finish(&overview);
	lt_lookalikes_destroy(lookalikes);
	build_finish(&harness);
	lt_diags_finish(&diags);
}

/* White texts are on black, black ones are not. */
static void check_contrast(const struct record *record)
{
	size_t whites = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *text = &record->items[i];
		if (text->kind != RECORD_TEXT)
			continue;
		bool white = text->ink.red > 0.5, on_black = false;
		for (size_t j = 0; j < i; j++) {
			const struct record_item *fill = &record->items[j];
			/* Underlines and corners of lines are no backgrounds. */
			bool ground = fill->kind == RECORD_FILL && fill->bottom - fill->top > 1 &&
				      fill->page == text->page && fill->ink.red < 0.5;
			double middle = text->baseline - text->capital / 2;
			on_black |= ground && fill->left < text->left &&
				    fill->right > text->right && fill->top < middle &&
				    fill->bottom > middle;
		}
		assert_true(white == on_black);
		whites += white;
	}
	assert_true(whites > 0);
}

static void what_is_drawn_is_what_was_placed(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		struct fixture fixture;
		struct record record;
		struct lt_overview overview;
		struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
		struct lt_canvas canvas = record_canvas(&record, record_measure());
		fixture_read_sample(&fixture, samples[i]);
		place(&overview, &fixture, &options);
		for (size_t j = 0; j < overview.page_count; j++) {
			canvas.begin_page(canvas.data, overview.width, overview.height);
			lt_overview_draw(&canvas, &overview, j);
			assert_true(canvas.end_page(canvas.data, &fixture.diags));
		}
		assert_int_equal(record_outside(&record, options.margin), 0);
		assert_int_equal(record_coloured(&record), 0);
		check_contrast(&record);
		for (size_t j = 0; j < overview.page_count; j++) {
			const struct lt_overview_page *page = &overview.pages[j];
			size_t texts = 0;
			for (size_t k = 0; k < record.pages[j].count; k++)
				texts +=
					record.items[record.pages[j].first + k].kind == RECORD_TEXT;
			assert_int_equal(texts, page->text_count);
			for (size_t k = 0; k < page->text_count; k++)
				assert_true(record_find(&record, record.pages[j].first,
						    page->texts[k].text) <
					    record.pages[j].first + record.pages[j].count);
		}
		lt_overview_finish(&overview);
		record_free(&record);
		fixture_finish(&fixture);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(samples_are_placed_as_promised_on_every_paper),
		cmocka_unit_test(random_harnesses_are_placed_as_promised),
		cmocka_unit_test(labels_say_what_the_description_says),
		cmocka_unit_test(joints_with_no_number_are_named_by_their_id),
		cmocka_unit_test(facts_of_joints_are_true),
		cmocka_unit_test(components_drawn_twice_are_marked),
		cmocka_unit_test(every_page_is_complete_in_itself),
		cmocka_unit_test(joints_without_a_place_lie_between_the_others),
		cmocka_unit_test(places_are_written_in_full),
		cmocka_unit_test(places_stay_on_a_line),
		cmocka_unit_test(branches_leave_the_trunk_to_scale),
		cmocka_unit_test(joints_of_one_component_lie_side_by_side),
		cmocka_unit_test(quality_counts_as_defined),
		cmocka_unit_test(sides_are_near_the_best),
		cmocka_unit_test(a_page_without_room_is_refused),
		cmocka_unit_test(items_without_room_in_head_and_foot_are_reported),
		cmocka_unit_test(hazard_steps_are_in_the_order_of_the_work),
		cmocka_unit_test(hazards_are_whole_or_on_a_page_that_is_named),
		cmocka_unit_test(lists_without_room_are_reported),
		cmocka_unit_test(cells_are_as_high_as_what_is_in_them),
		cmocka_unit_test(names_break_at_spaces_unless_they_would_be_cut),
		cmocka_unit_test(a_thousand_connectors_are_placed_quickly),
		cmocka_unit_test(an_empty_harness_has_a_page_with_a_trunk),
		cmocka_unit_test(what_is_drawn_is_what_was_placed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
