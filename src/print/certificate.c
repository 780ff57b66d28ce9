/* Whether an encrypted printer is who it should be. libcups encrypts without checking any
 * certificate, so this is done here, before anything is sent. */
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>
#include <string.h>

#include "print/link.h"

#define CHAIN_MAX 16

/* Imports what the printer sent, `*count` of them. False when one is no certificate. */
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

/* Checks a chain against the authorities of this machine. NULL when it is right, or what is not. */
static const char *check_chain(gnutls_x509_crt_t *chain, unsigned count, const char *host)
{
	gnutls_x509_trust_list_t list;
	if (gnutls_x509_trust_list_init(&list, 0) != GNUTLS_E_SUCCESS)
		return "cannot be checked";
	gnutls_x509_trust_list_add_system_trust(list, 0, 0);
	gnutls_typed_vdata_st name = { .type = GNUTLS_DT_DNS_HOSTNAME,
		.data = (unsigned char *)host };
	unsigned status = 0;
	int done =
		gnutls_x509_trust_list_verify_crt2(list, chain, count, &name, 1, 0, &status, NULL);
	gnutls_x509_trust_list_deinit(list, 1);
	if (done != GNUTLS_E_SUCCESS)
		return "cannot be checked";
	static const struct {
		unsigned bit;
		const char *words;
	} faults[] = {
		{ GNUTLS_CERT_REVOKED, "was revoked" },
		{ GNUTLS_CERT_EXPIRED, "has run out" },
		{ GNUTLS_CERT_NOT_ACTIVATED, "is not valid yet" },
		{ GNUTLS_CERT_SIGNER_NOT_FOUND, "is signed by nobody whom this machine trusts" },
		{ GNUTLS_CERT_UNEXPECTED_OWNER, "is for another name" },
	};
	for (size_t i = 0; i < sizeof(faults) / sizeof(faults[0]); i++) {
		if ((status & faults[i].bit) != 0)
			return faults[i].words;
	}
	return status != 0 ? "is not right" : NULL;
}

/* Whether both begin with the same certificate, which is the machine's own. */
static bool same_first(cups_array_t *one, cups_array_t *other)
{
	const http_credential_t *a = cupsArrayFirst(one);
	const http_credential_t *b = cupsArrayFirst(other);
	return a != NULL && b != NULL && a->datalen == b->datalen &&
	       memcmp(a->data, b->data, a->datalen) == 0;
}

/* A certificate that was kept for this machine is what it has to be, whoever signed it. */
static const char *check(bool *changed, cups_array_t *credentials, const char *host,
	const char *folder)
{
	cups_array_t *kept = NULL;
	if (folder != NULL && httpLoadCredentials(folder, &kept, host) == 0 && kept != NULL) {
		*changed = !same_first(kept, credentials);
		httpFreeCredentials(kept);
		return *changed ? "is not the one that was kept for it" : NULL;
	}
	gnutls_x509_crt_t chain[CHAIN_MAX];
	unsigned count;
	const char *wrong = import_chain(chain, &count, credentials)
				    ? check_chain(chain, count, host)
				    : "cannot be read";
	while (count > 0)
		gnutls_x509_crt_deinit(chain[--count]);
	return wrong;
}

const char *lt_certificate_fault(bool *changed, http_t *http, const char *host, const char *folder)
{
	cups_array_t *credentials = NULL;
	const char *wrong = "was not sent";
	*changed = false;
	if (httpCopyCredentials(http, &credentials) == 0 && credentials != NULL)
		wrong = check(changed, credentials, host, folder);
	httpFreeCredentials(credentials);
	return wrong;
}
