/* The base address of links: what of RFC 3986 it may be. */
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

static bool fail(struct address *address, const char *words)
{
	lt_text_add(address->fault, words);
	return false;
}

/* Names the character that is wrong and where it is, from 1. */
static bool fail_at(struct address *address, const char *at)
{
	const char *behind = at;
	const uint32_t code = lt_utf8_next(&behind);
	size_t position = 1;
	for (const char *before = address->text; before < at; position++)
		lt_utf8_next(&before);
	if (code == 0)
		return fail(address, "is cut short");
	if (code == ' ')
		lt_text_printf(address->fault, "has a blank as its character %zu", position);
	else
		lt_text_printf(address->fault, "has %.*s (U+%04X) as its character %zu",
			(int)(behind - at), at, (unsigned)code, position);
	return fail(address, ", which must not stand there");
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
	return fail(address, "does not begin with http:// or https://");
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
	return fail(address, "has no IPv6 address between its brackets");
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
	return fail(address, "names a host in numbers that are no IPv4 address");
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
			return fail(address, "has a part of its host's name that is too long");
		if (*at == '.')
			label = at + 1;
	}
	if (at == start)
		return *at == '\0' || strchr("/:?#", *at) ? fail(address, "names no host")
							  : fail_at(address, at);
	if (at[-1] == '-')
		return fail_at(address, at - 1);
	if (at - start > HOST_MAX)
		return fail(address, "has a host's name that is too long");
	/* Else what follows is told first: it may be what was meant. */
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
		return fail(address, "has no port from 1 to 65535 behind the colon");
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
		return fail(&address, "is too long");
	return take_scheme(&address) &&
	       (*address.at == '[' ? take_literal(&address) : take_name(&address)) &&
	       take_port(&address) && check_path(&address);
}
