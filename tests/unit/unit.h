/* What every unit test includes, in the order that cmocka wants. */
#ifndef LOOMTAG_TESTS_UNIT_H
#define LOOMTAG_TESTS_UNIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#endif
