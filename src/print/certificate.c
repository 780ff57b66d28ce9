/* Whether an encrypted printer is who it should be. libcups encrypts without checking any
 * certificate, so this is done here, before anything is sent. */
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>
#include <string.h>

#include "print/link.h"

#define CHAIN_MAX 16

/* Imports the certificates that the printer sent, `*count` of them. False when one cannot be read.
 */
static bool import_chain(gnutls_x509_crt_t chain[CHAIN_MAX], unsigned *count,
	cups_array_t *credentials)
{
	*count = 0;
	for (http_credential_t *one = cupsArrayFirst(credentials);
		one != NULL && *count < CHAIN_MAX; one = cupsArrayNext(credentials)) {
		const gnutls_datum_t bytes = { one->data, (unsigned)one->datalen };
		gnutls_x509_crt_t *next = &chain[*count];
		if (gnutls_x509_crt_init(next) != GNUTLS_E_SUCCESS)
			return false;
		++*count;
		if (gnutls_x509_crt_import(*next, &bytes, GNUTLS_X509_FMT_DER) != GNUTLS_E_SUCCESS)
			return false;
	}
	return *count > 0;
}

/* Checks a chain against the authorities of this computer. */
static enum lt_certificate check_chain(gnutls_x509_crt_t *chain, unsigned count, const char *host)
{
	gnutls_x509_trust_list_t list;
	if (gnutls_x509_trust_list_init(&list, 0) != GNUTLS_E_SUCCESS)
		return LT_CERTIFICATE_UNCHECKED;
	gnutls_x509_trust_list_add_system_trust(list, 0, 0);
	gnutls_typed_vdata_st name = { .type = GNUTLS_DT_DNS_HOSTNAME,
		.data = (unsigned char *)host };
	unsigned status = 0;
	int done =
		gnutls_x509_trust_list_verify_crt2(list, chain, count, &name, 1, 0, &status, NULL);
	gnutls_x509_trust_list_deinit(list, 1);
	if (done != GNUTLS_E_SUCCESS)
		return LT_CERTIFICATE_UNCHECKED;
	static const struct {
		unsigned bit;
		enum lt_certificate fault;
	} faults[] = {
		{ GNUTLS_CERT_REVOKED, LT_CERTIFICATE_REVOKED },
		{ GNUTLS_CERT_EXPIRED, LT_CERTIFICATE_EXPIRED },
		{ GNUTLS_CERT_NOT_ACTIVATED, LT_CERTIFICATE_NOT_YET_VALID },
		{ GNUTLS_CERT_SIGNER_NOT_FOUND, LT_CERTIFICATE_NOT_TRUSTED },
		{ GNUTLS_CERT_UNEXPECTED_OWNER, LT_CERTIFICATE_OF_ANOTHER },
	};
	for (size_t i = 0; i < sizeof(faults) / sizeof(faults[0]); i++) {
		if ((status & faults[i].bit) != 0)
			return faults[i].fault;
	}
	return status != 0 ? LT_CERTIFICATE_INVALID : LT_CERTIFICATE_GOOD;
}

/* Whether both begin with the same certificate, which is the machine's own. */
static bool same_first(cups_array_t *one, cups_array_t *other)
{
	const http_credential_t *a = cupsArrayFirst(one);
	const http_credential_t *b = cupsArrayFirst(other);
	return a != NULL && b != NULL && a->datalen == b->datalen &&
	       memcmp(a->data, b->data, a->datalen) == 0;
}

/* A certificate that was saved for this computer is the one it must send, whoever signed it. */
static enum lt_certificate check(cups_array_t *credentials, const char *host, const char *folder)
{
	cups_array_t *saved = NULL;
	if (folder != NULL && httpLoadCredentials(folder, &saved, host) == 0 && saved != NULL) {
		bool same = same_first(saved, credentials);
		httpFreeCredentials(saved);
		return same ? LT_CERTIFICATE_GOOD : LT_CERTIFICATE_CHANGED;
	}
	gnutls_x509_crt_t chain[CHAIN_MAX];
	unsigned count;
	enum lt_certificate result = import_chain(chain, &count, credentials)
					     ? check_chain(chain, count, host)
					     : LT_CERTIFICATE_UNREADABLE;
	while (count > 0)
		gnutls_x509_crt_deinit(chain[--count]);
	return result;
}

enum lt_certificate lt_certificate_check(http_t *http, const char *host, const char *folder)
{
	cups_array_t *credentials = NULL;
	enum lt_certificate result = LT_CERTIFICATE_NOT_SENT;
	if (httpCopyCredentials(http, &credentials) == 0 && credentials != NULL)
		result = check(credentials, host, folder);
	httpFreeCredentials(credentials);
	return result;
}
