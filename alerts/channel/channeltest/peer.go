package channeltest

import (
	"crypto/tls"
	"crypto/x509"
	"net/url"
	"os"
	"testing"
)

// Peer returns the address of a server for tests that an environment variable has,
// and what to trust: the authority whose file the address names as ca. Where the
// variable is not set the test ends with the words of missing.
func Peer(t testing.TB, variable, missing string) (*url.URL, *tls.Config) {
	t.Helper()
	text := os.Getenv(variable)
	if text == "" {
		t.Fatal(missing)
	}
	u, err := url.Parse(text)
	if err != nil {
		t.Fatalf("%s: %v", variable, err)
	}
	ca, err := os.ReadFile(u.Query().Get("ca"))
	if err != nil {
		t.Fatalf("%s: %v", variable, err)
	}
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(ca) {
		t.Fatalf("%s: no certificate in %s", variable, u.Query().Get("ca"))
	}
	return u, &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}
}
