/* What every step needs: which step is next, what is shown, and the state of the job. */
#include <stdio.h>

#include "live/conversation.h"
#include "loomtag/words.h"

void lt_live_go(struct lt_live *live, enum lt_live_step step)
{
	live->step = step;
	live->entered = false;
}

void lt_live_finish(struct lt_live *live, enum lt_live_end end)
{
	live->view.end = end;
	lt_live_go(live, LT_STEP_OVER);
}

bool lt_live_keep(struct lt_live *live, bool good)
{
	if (!good)
		lt_live_finish(live, LT_LIVE_FAILED);
	return good;
}

void lt_live_ask(struct lt_live *live, enum lt_live_asks asks)
{
	live->entered = true;
	live->view.asks = asks;
}

struct lt_text *lt_live_put(struct lt_live *live, enum lt_live_kind kind, enum lt_live_style style,
	const char *label)
{
	live->items =
		lt_grow(live->items, &live->item_room, live->view.count + 1, sizeof(*live->items));
	live->view.items = live->items;
	struct lt_live_item *item = &live->items[live->view.count++];
	*item = (struct lt_live_item){ .kind = kind, .style = style };
	snprintf(item->label, sizeof(item->label), "%s", label);
	return &item->text;
}

void lt_live_add(struct lt_live *live, enum lt_live_kind kind, enum lt_live_style style,
	const char *label, const char *text)
{
	lt_text_add(lt_live_put(live, kind, style, label), text);
}

static void add_title(struct lt_live *live)
{
	const struct lt_harness *harness = live->options.tags->harness;
	struct lt_text *title = lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "");
	lt_text_add(title, harness->code);
	if (harness->title != NULL)
		lt_text_printf(title, "  %s", harness->title);
}

void lt_live_page(struct lt_live *live)
{
	lt_live_put(live, LT_LIVE_PAGE, LT_LIVE_PLAIN, "");
	add_title(live);
}

void lt_live_head(struct lt_live *live)
{
	const struct lt_harness *harness = live->options.tags->harness;
	add_title(live);
	struct lt_text *words = lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, "");
	lt_words_unit(words, harness);
	lt_text_add(words, lt_live_words.stage_begins[lt_live_stage(live)]);
}

void lt_live_report(struct lt_live *live, enum lt_tone tone, const char *words)
{
	live->tone = tone;
	live->verdict = NULL;
	live->tags[0] = '\0';
	lt_text_clear(&live->words);
	lt_text_add(&live->words, words);
}

enum lt_live_style lt_live_style_of(enum lt_tone tone)
{
	static const enum lt_live_style styles[] = { LT_LIVE_GOOD, LT_LIVE_WAIT, LT_LIVE_WRONG };
	return styles[tone];
}

void lt_live_add_report(struct lt_live *live)
{
	if (live->words.length > 0)
		lt_live_add(live, LT_LIVE_SAID, lt_live_style_of(live->tone), "",
			lt_text_string(&live->words));
}

enum lt_stage lt_live_stage(const struct lt_live *live)
{
	return lt_job_state_stage(lt_work_state(live->options.work));
}

bool lt_live_stage_ok(const struct lt_live *live)
{
	return lt_job_state_ok(lt_work_state(live->options.work), lt_live_stage(live));
}

bool lt_live_begin(struct lt_live *live, enum lt_stage stage)
{
	return lt_live_keep(live,
		lt_work_stage(live->options.work, stage, lt_result_words.later_stage_started,
			live->options.diags));
}

const struct lt_verify *lt_live_machine(const struct lt_live *live)
{
	const enum lt_stage stage = lt_live_stage(live);
	return lt_job_state_machine(lt_work_state(live->options.work),
		stage == LT_STAGE_FINISH ? LT_STAGE_RECONNECT : stage);
}
