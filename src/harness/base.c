/* Checks the base address of links, which may be only a part of what RFC 3986 allows. */
#include <arpa/inet.h>
#include <string.h>
#include <strings.h>

#include "loomtag/harness.h"

#define DIGITS "0123456789"
#define LETTERS "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"

enum { BASE_MAX = 500, HOST_MAX = 253, LABEL_MAX = 63, PORT_MAX = 65535 };

struct address {
	struct lt_text *fault;
	const char *text, *at;
};

static bool fail(struct address *address, const char *reason)
{
	lt_text_add(address->fault, reason);
	return false;
}

/* Names the character that is wrong and its position, from 1. */
static bool fail_at(struct address *address, const char *at)
{
	const char *behind = at;
	const uint32_t code = lt_utf8_next(&behind);
	size_t position = 1;
	for (const char *before = address->text; before < at; position++)
		lt_utf8_next(&before);
	if (code == 0)
		return fail(address, "it is not complete");
	if (code == ' ')
		lt_text_printf(address->fault, "character %zu must not be a space", position);
	else
		lt_text_printf(address->fault, "character %zu must not be %.*s (U+%04X)", position,
			(int)(behind - at), at, (unsigned)code);
	return false;
}

static bool take_scheme(struct address *address)
{
	static const char *const schemes[] = { "http://", "https://" };
	for (size_t i = 0; i < 2; i++) {
		const size_t length = strlen(schemes[i]);
		if (strncasecmp(address->text, schemes[i], length) == 0) {
			address->at = address->text + length;
			return true;
		}
	}
	return fail(address, "it must begin with http:// or https://");
}

/* An IPv6 address between brackets (RFC 3986, 3.2.2); its zone means nothing to another machine. */
static bool take_literal(struct address *address)
{
	char host[INET6_ADDRSTRLEN];
	struct in6_addr binary;
	const char *start = address->at + 1;
	const size_t length = strspn(start, DIGITS "ABCDEFabcdef:.");
	if (start[length] != ']')
		return fail_at(address, start + length);
	if (length < sizeof(host)) {
		memcpy(host, start, length);
		host[length] = '\0';
		if (inet_pton(AF_INET6, host, &binary) == 1) {
			address->at = start + length + 1;
			return true;
		}
	}
	return fail(address, "the text between the brackets is not an IPv6 address");
}

/* What is written like an IPv4 address has to be one (RFC 3986, 3.2.2): four numbers. */
static bool check_numbers(struct address *address, const char *host, size_t length)
{
	char copy[HOST_MAX + 1];
	struct in_addr binary;
	memcpy(copy, host, length);
	copy[length] = '\0';
	const char *dot = strrchr(copy, '.');
	const char *last = dot != NULL ? dot + 1 : copy;
	if (last[strspn(last, DIGITS)] != '\0' || inet_pton(AF_INET, copy, &binary) == 1)
		return true;
	return fail(address, "the host is written as numbers, but is not an IPv4 address");
}

/* A name of labels with dots between them (RFC 1123, 2.1), and the underscores that some shops
 * have; a dot at its end does no harm. */
static bool take_name(struct address *address)
{
	const char *start = address->at;
	const char *label = start;
	const char *at = start;
	for (const char *end = at + strspn(at, LETTERS DIGITS "-_."); at < end; at++) {
		const bool edge = at == label;
		if (edge && (*at == '.' || *at == '-'))
			return fail_at(address, at);
		if (*at == '.' && at[-1] == '-')
			return fail_at(address, at - 1);
		if (*at != '.' && at - label >= LABEL_MAX)
			return fail(address,
				"a part of the host name is longer than 63 characters");
		if (*at == '.')
			label = at + 1;
	}
	if (at == start)
		return *at == '\0' || strchr("/:?#", *at) ? fail(address, "the host is missing")
							  : fail_at(address, at);
	if (at[-1] == '-')
		return fail_at(address, at - 1);
	if (at - start > HOST_MAX)
		return fail(address, "the host name is longer than 253 characters");
	/* Else what follows is reported first: it is what the user should correct. */
	const bool ends = *at == '\0' || *at == ':' || *at == '/';
	address->at = at;
	return ends ? check_numbers(address, start, (size_t)(at - start) - (at[-1] == '.'))
		    : fail_at(address, at);
}

static bool take_port(struct address *address)
{
	if (*address->at != ':')
		return true;
	/* What is before an @ is a user's name and password. */
	const char *user = address->at + strcspn(address->at, "@/?#");
	if (*user == '@')
		return fail_at(address, user);
	const char *at = address->at + 1;
	unsigned port = 0;
	for (; *at >= '0' && *at <= '9' && port <= PORT_MAX; at++)
		port = port * 10 + (unsigned)(*at - '0');
	if (*at != '\0' && !strchr(DIGITS "/", *at))
		return fail_at(address, at);
	if (port < 1 || port > PORT_MAX)
		return fail(address, "the port after the colon must be from 1 to 65535");
	address->at = at;
	return true;
}

/* RFC 3986, 3.3, but for the apostrophe, which closes a text in too many places. */
static bool check_path(struct address *address)
{
	const char *at = address->at;
	if (*at != '\0' && *at != '/')
		return fail_at(address, at);
	while (*(at += strspn(at, LETTERS DIGITS "/-._~!$&()*+,;=:@")) == '%') {
		const size_t digits = strspn(at + 1, DIGITS "ABCDEFabcdef");
		if (digits < 2)
			return fail_at(address, at[1 + digits] == '\0' ? at : at + 1 + digits);
		at += 3;
	}
	return *at == '\0' || fail_at(address, at);
}

bool lt_base_check(struct lt_text *fault, const char *text)
{
	struct address address = { .fault = fault, .text = text };
	if (strlen(text) > BASE_MAX)
		return fail(&address, "it is longer than 500 bytes");
	return take_scheme(&address) &&
	       (*address.at == '[' ? take_literal(&address) : take_name(&address)) &&
	       take_port(&address) && check_path(&address);
}
