package request

import (
	"log/slog"
	"net/netip"
	"time"

	"shaftbook/web/page"
)

// A Site holds what every handler needs of its server. Its fields are set before
// the server listens.
type Site struct {
	Log      *slog.Logger
	Assets   *page.Assets
	Accounts bool             // the server has accounts and classes
	Proxies  []netip.Prefix   // trusted for the address and the encryption of a reader
	Origins  []string         // whole origins of pages beside the server's own
	Clock    func() time.Time // nil is the time of the machine
}

// Now returns the time of the site's clock.
func (s *Site) Now() time.Time {
	if s.Clock != nil {
		return s.Clock()
	}
	return time.Now()
}

// Name is the name of every site, on pages and in calendars.
const Name = "shaftbook"

// Frame returns the frame of a page.
func (s *Site) Frame(title, description string) page.Frame {
	if title != Name {
		title += " · " + Name
	}
	return page.Frame{Title: title, Description: description, Assets: s.Assets, Accounts: s.Accounts}
}

// ClassFrame returns the frame of a page of classes and accounts, or of sheets on
// paper.
func (s *Site) ClassFrame(title string) page.Frame {
	f := s.Frame(title, "")
	f.Place = title
	f.Styles = []string{s.Assets.ClassStyle}
	return f
}
