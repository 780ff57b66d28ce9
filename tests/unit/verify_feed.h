/* A scan that is answered, and the answer applied. */
#ifndef TESTS_VERIFY_FEED_H
#define TESTS_VERIFY_FEED_H

#include "loomtag/verify.h"

static inline struct lt_answer feed_scan(struct lt_verify *verify, const char *scan, size_t length)
{
	struct lt_answer answer = lt_verify_judge(verify, scan, length);
	lt_verify_apply(verify, &answer);
	return answer;
}

#endif
