package web

import (
	"crypto/tls"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"
)

// A certificate is what the server proves itself with. It is read again when its
// files change, so that a renewed one is used without a new start.
type certificate struct {
	server *Server

	mu      sync.Mutex
	present *tls.Certificate
	changed time.Time // when the files were written last, as far as they were looked at
}

// tlsConfig reads the certificate of the server; it returns nil if the server is
// to speak plain HTTP.
func (s *Server) tlsConfig() (*tls.Config, error) {
	switch {
	case s.CertFile == "" && s.KeyFile == "":
		return nil, nil
	case s.CertFile == "" || s.KeyFile == "":
		return nil, errors.New("a certificate and its key belong together; only one of the two files is named")
	}
	c := &certificate{server: s}
	if err := c.read(); err != nil {
		return nil, err
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: c.get}, nil
}

// read takes in the files if they have changed.
func (c *certificate) read() error {
	changed, err := newest(c.server.CertFile, c.server.KeyFile)
	if err == nil && changed.Equal(c.changed) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("the certificate cannot be read: %w", err)
	}
	c.changed = changed
	read, err := tls.LoadX509KeyPair(c.server.CertFile, c.server.KeyFile)
	if err != nil {
		return fmt.Errorf("the certificate %s and the key %s cannot be used: %w", c.server.CertFile, c.server.KeyFile, err)
	}
	c.present = &read
	return nil
}

// newest is when the last of some files was written.
func newest(files ...string) (time.Time, error) {
	var last time.Time
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil {
			return last, err
		}
		if info.ModTime().After(last) {
			last = info.ModTime()
		}
	}
	return last, nil
}

// get returns the certificate for a connection. One that cannot be read, perhaps
// because it is just being written, leaves the one before in use.
func (c *certificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if err := c.read(); err != nil {
		c.server.Log.Warn("the certificate from before stays in use", "error", err)
	}
	return c.present, nil
}
