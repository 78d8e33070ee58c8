package web

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/lessons"
	"shaftbook/web/live"
)

// certify writes a certificate for this machine and its key, and returns it.
func certify(t *testing.T, certFile, keyFile string, number int64) *x509.Certificate {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(number), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	for file, block := range map[string]*pem.Block{certFile: {Type: "CERTIFICATE", Bytes: der}, keyFile: {Type: "PRIVATE KEY", Bytes: private}} {
		if err := os.WriteFile(file, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	made, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// trusting is a client that takes one certificate only.
func trusting(c *x509.Certificate) (*http.Client, *tls.Config) {
	roots := x509.NewCertPool()
	roots.AddCert(c)
	config := &tls.Config{RootCAs: roots}
	return &http.Client{Transport: &http.Transport{TLSClientConfig: config.Clone(), DisableKeepAlives: true, ForceAttemptHTTP2: true}}, config
}

func TestTLS(t *testing.T) {
	folder := t.TempDir()
	certFile, keyFile := filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	first := certify(t, certFile, keyFile, 1)
	shelf, _ := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(lessonText)}})
	store := newStore(t)
	s := &Server{Catalog: shelf, Attempts: deskOn(t, store), Classes: store, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), CertFile: certFile, KeyFile: keyFile}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	if !strings.HasPrefix(s.URL(), "https://127.0.0.1:") {
		t.Fatalf("the address is %s", s.URL())
	}
	client, config := trusting(first)
	link, err := s.SetUpLink(t.Context())
	if err != nil || !strings.HasPrefix(link, s.URL()) {
		t.Fatalf("the link is %s (%v)", link, err)
	}
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	r, err := client.PostForm(link, map[string][]string{"name": {"Instructor 1"}, "signin": {"teach1"}, "password": {goodPassword}})
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.ProtoMajor != 2 || r.Header.Get("Strict-Transport-Security") != encryptedFor {
		t.Errorf("%s, headers %v", r.Proto, r.Header)
	}
	cookie := r.Cookies()[0]
	if cookie.Name != "__Host-shaftbook" || !cookie.Secure || cookie.Path != "/" || cookie.Domain != "" {
		t.Errorf("the cookie is %s", cookie.Raw)
	}

	// The socket of a lesson takes the origin of the server’s own pages.
	dialer := websocket.Dialer{TLSClientConfig: config, Subprotocols: []string{live.Protocol}}
	for origin, want := range map[string]bool{strings.TrimSuffix(s.URL(), "/"): true, strings.Replace(strings.TrimSuffix(s.URL(), "/"), "https", "http", 1): false} {
		header := http.Header{"Origin": {origin}, "Cookie": {cookie.Name + "=" + cookie.Value}}
		conn, _, err := dialer.Dial(strings.Replace(s.URL(), "https", "wss", 1)+"live", header)
		if (err == nil) != want {
			t.Errorf("from %s: %v", origin, err)
		}
		if err == nil {
			conn.Close()
		}
	}

	// A certificate that was renewed is used at once, a broken one is not.
	second := certify(t, certFile, keyFile, 2)
	later := time.Now().Add(time.Minute)
	if err := os.Chtimes(certFile, later, later); err != nil {
		t.Fatal(err)
	}
	client, _ = trusting(second)
	if r, err = client.Get(s.URL() + "sign-in"); err != nil {
		t.Fatalf("after a renewal: %v", err)
	}
	r.Body.Close()
	if err := os.WriteFile(certFile, []byte("half of it"), 0o600); err != nil {
		t.Fatal(err)
	}
	if r, err = client.Get(s.URL() + "sign-in"); err != nil {
		t.Fatalf("while a certificate is being written: %v", err)
	}
	r.Body.Close()
}

// What goes over plain HTTP says nothing of TLS.
func TestNoTLSWithoutACertificate(t *testing.T) {
	s := open(t)
	r, _ := get(t, s.URL())
	if got := r.Header.Get("Strict-Transport-Security"); got != "" {
		t.Errorf("Strict-Transport-Security: %s", got)
	}
}
