/* A printer for tests that follows a script, with errors too: a thread that listens on the loopback
 * and takes a step of its script for every request. */
#ifndef LOOMTAG_TESTS_IPP_SERVER_H
#define LOOMTAG_TESTS_IPP_SERVER_H

#include <arpa/inet.h>
#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum server_act {
	SERVER_ANSWER,       /* with the IPP status `code` */
	SERVER_ANSWER_CLOSE, /* likewise, then hangs up */
	SERVER_HTTP,         /* with the HTTP status `code`, before it takes a document */
	SERVER_HANG_UP,      /* when it has read all */
	SERVER_BREAK,        /* in the middle of the document */
	SERVER_CUT,          /* hangs up before the last `code` bytes of its answer */
	SERVER_SILENT,       /* reads all and says nothing */
	SERVER_GARBAGE,      /* sends something that is not IPP */
	SERVER_OTHER_ID,     /* answers a request that was not made */
	SERVER_ENDLESS,      /* sends without end */
	SERVER_HEADERS,      /* sends headers without end, now and then one */
	SERVER_CONTINUE      /* says without end that it will answer */
};

struct server_step {
	enum server_act act;
	unsigned code;
};

/* A request as it arrived. */
struct server_request {
	unsigned version, operation, id;
	bool authorized, expects;
	size_t document; /* bytes of it */
	bool whole;
};

#define SERVER_REQUESTS 32
struct server {
	int listener;
	unsigned port;
	pthread_t thread;
	const struct server_step *steps; /* the last one is repeated */
	size_t step_count;
	struct server_request requests[SERVER_REQUESTS];
	size_t request_count;
};

/* A connection that is read byte by byte. */
struct server_line {
	int fd;
	unsigned char bytes[4096];
	size_t at, end;
};

static int server_byte(struct server_line *line)
{
	if (line->at == line->end) {
		ssize_t got = recv(line->fd, line->bytes, sizeof(line->bytes), 0);
		if (got <= 0)
			return -1;
		line->at = 0;
		line->end = (size_t)got;
	}
	return line->bytes[line->at++];
}

static bool server_text(struct server_line *line, char *out, size_t size)
{
	size_t length = 0;
	for (;;) {
		int byte = server_byte(line);
		if (byte < 0)
			return false;
		if (byte == '\n')
			break;
		if (byte != '\r' && length + 1 < size)
			out[length++] = (char)byte;
	}
	out[length] = '\0';
	return true;
}

static void server_write(int fd, const void *bytes, size_t length)
{
	const char *at = bytes;
	while (length > 0) {
		ssize_t put = send(fd, at, length, MSG_NOSIGNAL);
		if (put <= 0)
			return;
		at += put;
		length -= (size_t)put;
	}
}

static void server_say(int fd, const char *text)
{
	server_write(fd, text, strlen(text));
}

/* Where the attributes end and the document begins (RFC 8010, 3.1.1). */
static size_t server_attributes(const unsigned char *body, size_t length)
{
	size_t at = 8;
	while (at < length && body[at] != 0x03) {
		if (body[at++] < 0x10)
			continue;
		for (int i = 0; i < 2 && at + 2 <= length; i++)
			at += 2 + ((size_t)body[at] << 8 | body[at + 1]);
	}
	return at < length ? at + 1 : length;
}

#define SERVER_BODY (1 << 20)

/* Reads a body up to `most` bytes; true when it came to its end. */
static bool server_body(struct server_line *line, unsigned char *body, size_t *length, bool chunked,
	size_t promised, size_t most)
{
	*length = 0;
	for (;;) {
		size_t left = promised;
		char text[64];
		if (chunked) {
			if (!server_text(line, text, sizeof(text)))
				return false;
			left = strtoul(text, NULL, 16);
		}
		bool last = left == 0 || !chunked;
		for (; left > 0; left--) {
			int byte = server_byte(line);
			if (byte < 0 || *length == most)
				return false;
			body[(*length)++] = (unsigned char)byte;
		}
		if (chunked && !server_text(line, text, sizeof(text)))
			return false;
		if (last)
			return true;
	}
}

/* An answer without its last bytes. */
static void server_answer(int fd, const struct server_request *request, unsigned status,
	unsigned id, size_t without)
{
	char whole[512];
	static const unsigned char words[] = "\1\x47\0\x12"
					     "attributes-charset\0\5utf-8"
					     "\x48\0\x1b"
					     "attributes-natural-language\0\2en"
					     "\x41\0\x0estatus-message\0\7no\033[2Jo\3";
	const size_t length = 8 + sizeof(words) - 1;
	int head = snprintf(whole, sizeof(whole),
		"HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\nContent-Length: %zu\r\n\r\n",
		length);
	char *at = whole + head;
	*at++ = (char)(request->version / 10);
	*at++ = (char)(request->version % 10);
	*at++ = (char)(status >> 8);
	*at++ = (char)status;
	for (int i = 0; i < 4; i++)
		*at++ = (char)(id >> (24 - 8 * i));
	memcpy(at, words, sizeof(words) - 1);
	size_t all = (size_t)head + length;
	server_write(fd, whole, without < all ? all - without : 0);
}

static void server_refuse(int fd, unsigned code)
{
	char head[256];
	snprintf(head, sizeof(head),
		"HTTP/1.1 %u No\r\nWWW-Authenticate: Basic realm=\"bench\"\r\n"
		"Connection: close\r\nContent-Length: 0\r\n\r\n",
		code);
	server_say(fd, head);
}

static void server_endless(int fd)
{
	static const char block[4096] = { 'x' };
	server_say(fd, "HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\n\r\n");
	/* Until the other end has had enough, but no test waits for ever. */
	for (int i = 0; i < 100000; i++) {
		if (send(fd, block, sizeof(block), MSG_NOSIGNAL) <= 0)
			return;
	}
}

/* Says the same every 20 ms, until the other end hangs up; but no test waits for ever. */
static void server_drip(int fd, const char *start, const char *drop)
{
	const struct timespec pause = { 0, 20000000 };
	server_say(fd, start);
	for (int i = 0; i < 1000; i++) {
		if (send(fd, drop, strlen(drop), MSG_NOSIGNAL) <= 0)
			return;
		nanosleep(&pause, NULL);
	}
}

/* Until the other end hangs up. */
static void server_drain(struct server_line *line)
{
	while (server_byte(line) >= 0)
		;
}

/* What it does when it has read the request. True when it stays on the line. */
static bool server_act(struct server_line *line, const struct server_step *step,
	const struct server_request *request)
{
	switch (step->act) {
	case SERVER_ANSWER:
	case SERVER_ANSWER_CLOSE:
		server_answer(line->fd, request, step->code, request->id, 0);
		return step->act == SERVER_ANSWER;
	case SERVER_CUT:
		server_answer(line->fd, request, 0, request->id, step->code);
		return false;
	case SERVER_OTHER_ID:
		server_answer(line->fd, request, 0, request->id + 1, 0);
		return true;
	case SERVER_GARBAGE:
		server_say(line->fd, "HTTP/1.1 200 OK\r\nContent-Type: text/html\r\n"
				     "Content-Length: 13\r\n\r\n<html></html>");
		return true;
	case SERVER_ENDLESS:
		server_endless(line->fd);
		return false;
	case SERVER_HEADERS:
		server_drip(line->fd, "HTTP/1.1 200 OK\r\n", "X: x\r\n");
		return false;
	case SERVER_CONTINUE:
		server_drip(line->fd, "", "HTTP/1.1 100 Continue\r\n\r\n");
		return false;
	case SERVER_HTTP:
		server_refuse(line->fd, step->code);
		/* Hanging up on what was not read would take the answer back. */
		shutdown(line->fd, SHUT_WR);
		server_drain(line);
		return false;
	case SERVER_SILENT:
		server_drain(line);
		return false;
	default:
		return false;
	}
}

/* One request. False when the connection is to be closed. */
static bool server_serve(struct server *server, struct server_line *line)
{
	char text[1024];
	if (!server_text(line, text, sizeof(text)) || server->request_count == SERVER_REQUESTS)
		return false;
	size_t index = server->request_count < server->step_count ? server->request_count
								  : server->step_count - 1;
	const struct server_step *step = &server->steps[index];
	struct server_request *request = &server->requests[server->request_count];
	bool chunked = false;
	size_t promised = 0;
	while (server_text(line, text, sizeof(text)) && text[0] != '\0') {
		chunked = chunked || strcasecmp(text, "Transfer-Encoding: chunked") == 0;
		request->expects = request->expects || strncasecmp(text, "Expect:", 7) == 0;
		request->authorized =
			request->authorized || strncasecmp(text, "Authorization: Basic ", 21) == 0;
		if (strncasecmp(text, "Content-Length:", 15) == 0)
			promised = strtoul(text + 15, NULL, 10);
	}
	server->request_count++;
	if (step->act == SERVER_HTTP && request->expects)
		return server_act(line, step, request);
	if (request->expects)
		server_say(line->fd, "HTTP/1.1 100 Continue\r\n\r\n");
	unsigned char *body = malloc(SERVER_BODY);
	size_t length = 0;
	size_t most = step->act == SERVER_BREAK ? 20000 : SERVER_BODY;
	request->whole = server_body(line, body, &length, chunked, promised, most);
	if (length >= 8) {
		request->version = body[0] * 10u + body[1];
		request->operation = (unsigned)body[2] << 8 | body[3];
		request->id = (unsigned)body[4] << 24 | (unsigned)body[5] << 16 |
			      (unsigned)body[6] << 8 | body[7];
		request->document = length - server_attributes(body, length);
	}
	free(body);
	return server_act(line, step, request);
}

static void *server_run(void *data)
{
	struct server *server = data;
	int fd;
	while ((fd = accept(server->listener, NULL, NULL)) >= 0) {
		struct server_line line = { .fd = fd };
		while (server_serve(server, &line))
			;
		close(fd);
	}
	return NULL;
}

static bool server_start(struct server *server, const struct server_step *steps, size_t count)
{
	*server = (struct server){ .steps = steps, .step_count = count };
	struct sockaddr_in address = { .sin_family = AF_INET };
	address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
	socklen_t size = sizeof(address);
	server->listener = socket(AF_INET, SOCK_STREAM, 0);
	if (server->listener < 0 ||
		bind(server->listener, (struct sockaddr *)&address, size) != 0 ||
		listen(server->listener, 8) != 0 ||
		getsockname(server->listener, (struct sockaddr *)&address, &size) != 0)
		return false;
	server->port = ntohs(address.sin_port);
	return pthread_create(&server->thread, NULL, server_run, server) == 0;
}

/* Call when the other end has hung up. */
static void server_stop(struct server *server)
{
	shutdown(server->listener, SHUT_RDWR);
	pthread_join(server->thread, NULL);
	close(server->listener);
}

#endif
