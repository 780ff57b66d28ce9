/* QR symbols: version and level from the capacity table of ISO/IEC 18004, then one encoding. */
#ifndef LOOMTAG_QR_H
#define LOOMTAG_QR_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"

#define LT_QR_QUIET 4u /* modules of quiet zone on every side */
#define LT_QR_VERSION_MAX 40u

enum lt_qr_level { LT_QR_L, LT_QR_M, LT_QR_Q, LT_QR_H };
enum lt_qr_mode { LT_QR_NUMERIC, LT_QR_ALPHANUMERIC, LT_QR_BYTES };

/* Characters (bytes for LT_QR_BYTES) that fit; ISO/IEC 18004, table of symbol capacities.
 * Version 1 to 40. */
unsigned lt_qr_capacity(unsigned version, enum lt_qr_level level, enum lt_qr_mode mode);

/* Modules a side: 17 + 4 x version. */
unsigned lt_qr_modules(unsigned version);

/* The densest mode that can carry the whole text. */
enum lt_qr_mode lt_qr_mode_of(const char *text);

/* What is to be encoded and how. */
struct lt_qr_plan {
	unsigned version;
	enum lt_qr_level level;
	enum lt_qr_mode mode;
	unsigned modules; /* a side */
};

/* The smallest version with room for the text at level `floor` (L or M), and the highest level
 * for which that version still has room. Text that is not ASCII takes an ECI header (UTF-8),
 * three or four bytes. False when no version has room, or the text is empty. */
bool lt_qr_plan(struct lt_qr_plan *out, const char *text, enum lt_qr_level floor);

/* A symbol. Module (x, y) is dark when lt_qr_dark; x to the right, y down, no quiet zone. */
struct lt_qr {
	unsigned modules;
	unsigned char *cells; /* modules x modules bytes, 1 dark, 0 light; from the arena */
};

/* Encodes by the plan. False with an error in `diags` when the encoder refuses or gives another
 * version than planned. */
bool lt_qr_encode(struct lt_qr *out, struct lt_arena *arena, const char *text,
	const struct lt_qr_plan *plan, struct lt_diags *diags);

static inline bool lt_qr_dark(const struct lt_qr *qr, unsigned x, unsigned y)
{
	return qr->cells[(size_t)y * qr->modules + x] != 0;
}

/* 'L', 'M', 'Q', 'H'. */
char lt_qr_level_letter(enum lt_qr_level level);

#endif
