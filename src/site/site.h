/* What the files of the static pages share. */
#ifndef LOOMTAG_SITE_SITE_H
#define LOOMTAG_SITE_SITE_H

#include "loomtag/map.h"
#include "loomtag/site.h"
#include "loomtag/words.h"

/* Look-alikes linked on a page; the rest is counted. */
#define LT_SITE_ALIKE 24

/* A photograph as it is published: a file beside the harness page. */
struct lt_site_photo {
	char name[48]; /* "" for none */
	unsigned width, height;
};

struct lt_site {
	const char *folder;
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const char *date;
	struct lt_fonts *fonts;
	const struct lt_map_input *input;
	struct lt_arena *arena; /* of the whole run */
	struct lt_diags *diags;
	struct lt_site_photo *photos; /* by connector */
	size_t overview_pages;
};

/* Words and HTML. */

/* Adds text from a description, safe between tags and in a quoted attribute: what means something
 * to HTML is escaped, and what is no character of it becomes U+FFFD. NULL adds nothing. */
void lt_site_text(struct lt_text *page, const char *text);

/* Adds HTML as lt_text_printf does, with each string as lt_site_text adds it. Formats have %s, %c,
 * %u and %zu alone. */
void lt_site_add(struct lt_text *page, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* Adds words as lt_site_text does, and frees them. */
void lt_site_move(struct lt_text *page, struct lt_text *words);

/* Begins a page: to where its <body> has begun. `title` is plain text; `up` leads to the folder
 * of all pages, "" or "../"; `class` is the body's, "tag" or "map"; `source` is the name of the
 * description that a harness's page was made from, or NULL. */
void lt_site_head(struct lt_text *page, const char *title, const char *up, const char *class,
	const char *source);
#define LT_SITE_SOURCE "<meta name=\"loomtag-source\" content=\""

/* The title of the harness's page, as plain text. */
const char *lt_site_harness_title(const struct lt_site *site);

/* The description's file name without its folder; or NULL. */
const char *lt_site_source(const struct lt_harness *harness);

/* Ends it: which map it is, the cautions, </body>. */
void lt_site_foot(struct lt_text *page, const struct lt_site *site);

/* The same for a page that belongs to no one harness. */
void lt_site_foot_plain(struct lt_text *page, const char *date);

/* Begins a section with its heading, and a table with the heads of its columns. */
void lt_site_section(struct lt_text *page, const char *id, const char *title);
void lt_site_table(struct lt_text *page, const char *const *heads, size_t count);

/* One wire's colour: ink, code and name. `written` is the code as the description has it, or NULL.
 */
void lt_site_colour(struct lt_text *page, const struct lt_colour *colour, const char *written);

/* A link to a tag's page from the folder of another page: <a href="../12HRV3J/…">12H</a>. */
void lt_site_tag_link(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side);

/* The links of joints that must come first, or names where they have no number. */
void lt_site_joints(struct lt_text *page, const struct lt_site *site,
	const struct lt_indices *joints);

/* <dt>label</dt><dd>text</dd>, or nothing where there is no text. */
void lt_site_fact(struct lt_text *page, const char *label, const char *text);

/* The same for what is said of a joint: of these facts, 1 << fact each. */
void lt_site_facts(struct lt_text *page, const struct lt_site *site, size_t connector,
	unsigned facts);

/* A line below, of lesser weight; nothing where there is no text. */
void lt_site_below(struct lt_text *page, const char *text);

/* What a connector mates with, and where it is; one of them at least is described. */
void lt_site_mate(struct lt_text *page, const struct lt_site *site, size_t connector);

/* The photograph, `up` as in lt_site_head; nothing where there is none. */
void lt_site_picture(struct lt_text *page, const struct lt_site *site, size_t connector,
	const char *up);

/* What has to be made safe: all of it, or folded behind the names of the energies. */
void lt_site_hazards(struct lt_text *page, const struct lt_harness *harness, bool folded);

const struct lt_connector *lt_site_connector(const struct lt_site *site, size_t connector);
/* The component that it mates, or NULL. */
const struct lt_component *lt_site_component(const struct lt_site *site, size_t connector);
/* Its name, or its id where it has none. */
const char *lt_site_name(const struct lt_connector *connector);
bool lt_site_has_side(const struct lt_site *site, size_t connector, enum lt_side side);

/* Pages; each adds a whole one. */

/* `front` is what lt_site_front gave for the connector. */
void lt_site_tag_page(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side, const char *front);

/* Of a tag that is no more. */
void lt_site_gone_page(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side);

void lt_site_harness_page(struct lt_text *page, const struct lt_site *site);

/* A harness that the folder holds. */
struct lt_site_entry {
	const char *code;
	const char *title; /* HTML, as its page has it; or NULL */
};

/* Of all harnesses. */
void lt_site_root_page(struct lt_text *page, const struct lt_site_entry *entries, size_t count,
	const char *date);

extern const char lt_site_style[];

/* Files. A page is known by a mark near its beginning; what has none was written by somebody else
 * and is left as it is, with an error. Nor is anything written through a symbolic link inside the
 * folder. All paths are relative to site->folder. */

#define LT_SITE_MARK "loomtag harness map"

/* What stands in a title between the harness code and the words. */
#define LT_SITE_BETWEEN " – "

/* A tag of this harness that is no more, by the name of its folder. */
struct lt_site_gone {
	struct lt_scan scan;
	const char *name;
};

bool lt_site_make_folder(const struct lt_site *site, const char *name);

/* Looks at all that will be written, before any of it is: false with the errors where something is
 * in the way. Warns where the harness's page was made from another description. */
bool lt_site_check(const struct lt_site *site, const struct lt_site_gone *gone, size_t count);

/* "12HRV3J/index.html". */
const char *lt_site_index(const struct lt_site *site, const char *name);

/* What stands in the <title> of a page that this program wrote; NULL where there is none that could
 * stand in another page. */
const char *lt_site_title(const struct lt_site *site, const char *path);

/* Pictures have no mark: they are in a folder whose page is this program's. */
enum lt_site_file { LT_SITE_PAGE, LT_SITE_PICTURE };

/* Whether it may be written there; an error when not. */
bool lt_site_may_write(const struct lt_site *site, const char *path, enum lt_site_file file);

/* Writes it where that may be, whole. It is not on the disk before sync. */
bool lt_site_write(const struct lt_site *site, const char *path, enum lt_site_file file,
	const void *bytes, size_t length);

/* The names in a folder, sorted. */
bool lt_site_list(const struct lt_site *site, const char *name, const char ***names, size_t *count);

enum lt_site_there { LT_SITE_AWAY, LT_SITE_PLAIN, LT_SITE_FOLDER, LT_SITE_OTHER };

/* What is at a path, itself and not what it leads to. */
enum lt_site_there lt_site_there(const struct lt_site *site, const char *path);

/* Pictures. */

/* Adds the section with a connector's front view; nothing for one without ways. */
bool lt_site_front(struct lt_text *out, const struct lt_site *site, size_t connector);
bool lt_site_photos(struct lt_site *site);
bool lt_site_overview(struct lt_site *site);

#endif
