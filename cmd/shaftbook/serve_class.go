package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/netip"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/web"
)

// checkClasses refuses what would send passwords over a network unencrypted
// without anyone having said so, and flags that do nothing.
func (c *serveConfig) checkClasses() error {
	if !c.classes {
		if c.letIn != "" || c.plain {
			return errors.New("--let-in and --plain-http are for a server with classes; add --class")
		}
		return nil
	}
	if c.plain || c.cert != "" || isLoopback(c.listen) || c.hasSecureOrigin() {
		return nil
	}
	return fmt.Errorf("with --class, passwords would cross the network unencrypted to %s.\n"+
		"Give the server a certificate (--tls-cert and --tls-key), or listen on this machine only (--listen 127.0.0.1:8930)\n"+
		"behind a proxy that adds TLS and name its address (--origin https://twist.example), or add --plain-http if the network is yours alone", c.listen)
}

func (c *serveConfig) hasSecureOrigin() bool {
	for _, o := range c.origins {
		if strings.HasPrefix(o, "https://") {
			return true
		}
	}
	return false
}

// isLoopback reports whether an address to listen on is reached from this
// machine only.
func isLoopback(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false // Listen says what is wrong with it
	}
	address, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && address.IsLoopback()
}

// printLinks prints the one-time links that the person who starts the server needs: the
// one that makes the first instructor, while there is none, and the one that was
// asked for.
func (c *serveConfig) printLinks(ctx context.Context, server *web.Server, out io.Writer) error {
	if !c.classes {
		return nil
	}
	var entry string
	if c.letIn != "" {
		var err error
		switch entry, err = server.EntryLink(ctx, c.letIn); {
		case errors.Is(err, class.ErrNone):
			return fmt.Errorf("--let-in: nobody has the sign-in name %q", c.letIn)
		case err != nil:
			return storeError(err)
		}
	}
	switch link, err := server.SetUpLink(ctx); {
	case errors.Is(err, class.ErrTaken): // there is an instructor
	case err != nil:
		return storeError(err)
	default:
		fmt.Fprintf(out, "There is no instructor yet. Open this address within a day to create the first instructor’s account; it works once:\n%s\n", link)
	}
	if c.letIn != "" {
		fmt.Fprintf(out, "%s can choose a new password at this address within a day; it works once:\n%s\n", c.letIn, entry)
	}
	return nil
}
