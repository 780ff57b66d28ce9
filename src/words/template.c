/* A description to fill in, with comments that say what to write. */
#include "loomtag/words.h"

/* Without its # at the beginning of a line, each example is a valid description. */
static const char hazards[] =
	"# hazards:                      # what can hurt you, before you unplug anything\n"
	"#   - energy: mains 230 V\n"
	"#     signal: danger            # danger, warning or caution\n"
	"#     harm: what it does to you\n"
	"#     isolate: which switch, and how it is locked and labelled\n"
	"#     release: what is stored, and how it is released\n"
	"#     prove: how you prove that it is dead\n"
	"#     restore: when it comes back\n"
	"\n";
static const char mouldings[] =
	"# mouldings:                    # what is the same for many connectors, once\n"
	"#   - id: A\n"
	"#     family: 6.3 mm tab housing  # shell and coupling\n"
	"#     ways: 3                   # how many, or as marked: [30, 85, 86, 87]\n"
	"#     rows: 1\n"
	"#     latch: top                # top, bottom, left or right\n"
	"#     lock: how to unlock it\n"
	"#     seat: how you feel that it is seated\n"
	"\n";
static const char components[] =
	"# components:                   # without them, the ids behind mates: are enough\n"
	"#   - {id: M1, name: a motor, place: where it is}\n"
	"\n";
static const char connectors[] =
	"# Keys of a connector: name, what it is for; mates, the id of the part that it mates\n"
	"# with; port, the marking on that part; moulding, the id of a moulding above; wires,\n"
	"# such as {1: BN, 2: BU}; place, where it is; orient, its facing; lock, how to unlock\n"
	"# it; seat, how you feel that it is seated; after, which joints come first. Without a\n"
	"# moulding, write family and ways at the connector itself.\n"
	"connectors:                     # in the order in which you unplug them\n";
static const char finish[] = "\n"
			     "# finish:                       # last checks, to tick\n"
			     "#   - No wire or hose pinched behind the covers\n";

static void add_quick_head(struct lt_text *out, const struct lt_template *template)
{
	const char *code = template->code;
	lt_text_printf(out,
		lt_plural(template->count, "# %zu joint, tagged before it was described.\n",
			"# %zu joints, tagged before they were described.\n"),
		template->count);
	lt_text_printf(out,
		"# Fill this in from the worksheet: remove the # before a key and write behind "
		"it.\n"
		"# Every joint keeps its number. To give one a better id, change it and add the "
		"old one:\n"
		"#   - id: X1\n"
		"#     was: T%u\n"
		"# Then run: loomtag check %s.yaml, loomtag checklist %s.yaml -o %s-checklist.pdf\n"
		"\n"
		"harness: %s\n"
		"# title: the machine and the module\n"
		"unit: own                       # no other module has this code\n"
		"\n",
		template->numbers[0], code, code, code, code);
}

static void add_head(struct lt_text *out, const struct lt_template *template)
{
	lt_text_printf(out,
		lt_plural(template->count, "# A description of %zu connector, to fill in.\n",
			"# A description of %zu connectors, to fill in.\n"),
		template->count);
	lt_text_printf(out,
		"# Remove the # before a key and write behind it. Add or delete connectors as "
		"needed.\n"
		"# Then run: loomtag check %s\n"
		"# All keys are explained in loomtag-description(5).\n"
		"\n"
		"harness: %s\n"
		"# title: the machine and the module\n"
		"# unit: \"1\"                     # number of this module, if there are several "
		"alike\n"
		"# revision: A\n"
		"\n",
		template->file, template->code);
}

static void add_connector(struct lt_text *out, char letter, unsigned number)
{
	lt_text_printf(out,
		"  - id: %c%u\n"
		"    # name:\n"
		"    # mates:\n"
		"    # port:\n"
		"    # moulding:\n"
		"    # wires:\n"
		"    # place:\n"
		"    # orient:\n"
		"    # lock:\n"
		"    # seat:\n",
		letter, number);
}

void lt_template_add(struct lt_text *out, const struct lt_template *template)
{
	if (template->numbers != NULL)
		add_quick_head(out, template);
	else
		add_head(out, template);
	lt_text_printf(out, "%s%s%s%s", hazards, mouldings, components, connectors);
	for (unsigned i = 0; i < template->count; i++)
		if (template->numbers != NULL)
			add_connector(out, 'T', template->numbers[i]);
		else
			add_connector(out, 'X', i + 1);
	lt_text_add(out, finish);
}
