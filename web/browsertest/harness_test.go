// Package browsertest drives the pages in a real browser, as a reader would:
// with the keyboard, with what is on the page, and with a server that goes
// away and comes back.
package browsertest

import (
	"context"
	"flag"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web"
)

const browserPath = "/usr/bin/chromium"

// startTime is how long the browser may take to start.
const startTime = 5 * time.Minute

// reportTime is how long before the time limit of the whole run (go test
// -timeout) a test gives up, so that it can still say what it waited for. Tests
// have no other limit: how long something takes depends on what else the machine
// does.
const reportTime = 20 * time.Second

// browser is the one browser of the test run. Each test has windows of it that
// share nothing: neither cookies nor storage.
var browser context.Context

func TestMain(m *testing.M) {
	flag.Parse()
	if testing.Short() {
		fmt.Println("skipped: tests in a browser, under -short")
		return
	}
	os.Exit(run(m))
}

func run(m *testing.M) int {
	if _, err := os.Stat(browserPath); err != nil {
		slog.Error("these tests need a browser: apt-get install chromium", "path", browserPath)
		return 1
	}
	profile, err := os.MkdirTemp("", "shaftbook-browser-")
	if err != nil {
		slog.Error("no place for the browser's profile", "error", err)
		return 1
	}
	defer os.RemoveAll(profile)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(browserPath), chromedp.NoSandbox, chromedp.UserDataDir(profile),
		chromedp.WSURLReadTimeout(startTime),
		chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
	)
	allocator, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	defer cancel()
	ctx, cancel := chromedp.NewContext(allocator)
	defer cancel()
	if err := chromedp.Do(ctx); err != nil {
		slog.Error("the browser does not start", "error", err)
		return 1
	}
	browser = ctx
	return m.Run()
}

// serve starts a server for the lessons of testdata. Port 0 takes a free one.
func serve(t *testing.T, port int) *web.Server {
	t.Helper()
	return serveFiles(t, port, os.DirFS("testdata/lessons"))
}

func serveFiles(t testing.TB, port int, files fs.FS) *web.Server {
	t.Helper()
	s := &web.Server{Catalog: shelfOf(t, files)}
	open(t, s, port)
	return s
}

// shelfOf loads lessons in which nothing may be wrong.
func shelfOf(t testing.TB, files fs.FS) *lessons.Catalog {
	t.Helper()
	shelf, found := lessons.Load(files)
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	return shelf
}

// storeIn opens the store in a folder for as long as the test lasts.
func storeIn(t *testing.T, folder string) contract.Store {
	t.Helper()
	store, err := sqlite.Open(t.Context(), sqlite.FileIn(folder))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	return store
}

// open lets a server listen for as long as the test lasts. Port 0 takes a free
// one.
func open(t testing.TB, s *web.Server, port int) {
	t.Helper()
	s.Log = slog.New(slog.NewTextHandler(t.Output(), nil))
	if err := s.Open(net.JoinHostPort(hostOf(t), strconv.Itoa(port))); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(s) })
}

var (
	hosts   = map[string]string{}
	hostsMu sync.Mutex
)

// hostOf returns the address of this machine on which a test's servers listen.
// No other test listens there, so that a port is still free when the server of
// the test comes back.
func hostOf(t testing.TB) string {
	hostsMu.Lock()
	defer hostsMu.Unlock()
	name, _, _ := strings.Cut(t.Name(), "/")
	if hosts[name] == "" {
		hosts[name] = fmt.Sprintf("127.0.0.%d", 2+len(hosts))
	}
	return hosts[name]
}

func stop(s *web.Server) {
	_ = s.Close(context.Background()) // a second Close of the same server fails, and that is all right
}

func portOf(t *testing.T, s *web.Server) int {
	t.Helper()
	_, port, err := net.SplitHostPort(strings.TrimSuffix(strings.TrimPrefix(s.URL(), "http://"), "/"))
	if err != nil {
		t.Fatal(err)
	}
	n, err := strconv.Atoi(port)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// A tab is one window with what tests do in it, and with what it did itself.
type tab struct {
	t   testing.TB
	ctx context.Context

	mu    sync.Mutex
	asked []string // addresses, of sockets too
	said  []string // errors and warnings of the console
}

// listen notes every request and every complaint of the window.
func (b *tab) listen(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.asked = append(b.asked, e.Request.URL)
	case *network.EventWebSocketCreated:
		b.asked = append(b.asked, e.URL)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			b.said = append(b.said, fmt.Sprintf("console: %s", e.Args[0].Value))
		}
	case *log.EventEntryAdded:
		// A page that is not there and a server that is away are what some
		// tests are about; the browser logs each under "network".
		if e.Entry.Source != log.EntrySourceNetwork && !strings.HasPrefix(e.Entry.Text, "WebSocket connection") {
			b.said = append(b.said, "log: "+e.Entry.Text)
		}
	}
}

// watch collects whatever a page should not do: errors, breaches of the
// content security policy, and shifts of the layout that the reader did not
// cause.
const watch = `
	window.faults = []; window.shift = 0;
	addEventListener("error", (e) => faults.push("error: " + e.message));
	addEventListener("unhandledrejection", (e) => faults.push("rejection: " + e.reason));
	addEventListener("securitypolicyviolation", (e) => faults.push("policy: " + e.violatedDirective + " " + e.blockedURI));
	new PerformanceObserver((list) => { for (const e of list.getEntries()) if (!e.hadRecentInput) shift += e.value; }).observe({type: "layout-shift", buffered: true});`

// newTab opens a window of a browser in which nothing is stored and no one is
// signed in. It behaves as the window that has the focus, whatever other tests
// do in theirs.
func newTab(t testing.TB, width, height int64) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	if end, ok := deadline(t); ok {
		var cancelTime context.CancelFunc
		ctx, cancelTime = context.WithDeadline(ctx, end.Add(-reportTime/2))
		t.Cleanup(cancelTime)
	}
	b := &tab{t: t, ctx: ctx}
	b.do(chromedp.EmulateViewport(width, height))
	if _, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Listen(ctx, b.listen); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: watch}); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// open goes to an address and waits until the letters are there: where they come
// later, a click misses what it was aimed at.
func (b *tab) open(url string) {
	b.t.Helper()
	b.do(chromedp.Navigate(url))
	b.until("document.readyState === 'complete' && document.fonts.status === 'loaded'")
}

func eval[T any](b *tab, js string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%.300s: %.1000s", js, err)
	}
	return v
}

// until waits until an expression of the page is true.
func (b *tab) until(js string) {
	b.t.Helper()
	for !b.isTrue(js) {
		if b.isLate() {
			b.t.Fatalf("this did not come true: %s\nthe page says:\n%.2000s", js, eval[string](b, "(document.activeElement.value ?? '') + ' / ' + [...document.querySelectorAll('.result')].map((r) => r.textContent).join(' / ')"))
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// isTrue reports whether an expression of the page is true. It is not yet while the
// window goes from one page to another.
func (b *tab) isTrue(js string) bool {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool]("Boolean("+js+")", chromedp.EvalAwaitPromise))
	if err != nil && !strings.Contains(err.Error(), "navigated or closed") {
		b.t.Fatalf("%.300s: %.1000s", js, err)
	}
	return err == nil && v
}

// deadline returns when the time of the whole run is up; a benchmark has none.
func deadline(t testing.TB) (end time.Time, ok bool) {
	if test, is := t.(*testing.T); is {
		return test.Deadline()
	}
	return end, false
}

// isLate reports whether the time of the whole run is up.
func (b *tab) isLate() bool {
	end, ok := deadline(b.t)
	return ok && time.Until(end) < reportTime
}

// press types keys to whatever has the focus.
func (b *tab) press(keys string) {
	b.t.Helper()
	b.do(chromedp.KeyEvent(keys))
}

// keyDown presses a key without the character that press sends after it
// whatever the page did with the key; a keyboard sends none once it was taken.
func (b *tab) keyDown(key string, code int64) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{
		Type: input.DispatchKeyEventTypeRawKeyDown, Key: key, Code: key, WindowsVirtualKeyCode: code,
	}); err != nil {
		b.t.Fatal(err)
	}
}

const shift = 8 // as the browser’s protocol counts modifiers

// shiftTab moves the focus one place back.
func (b *tab) shiftTab() {
	b.t.Helper()
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeKeyUp} {
		if _, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{
			Type: kind, Key: "Tab", Code: "Tab", WindowsVirtualKeyCode: 9, Modifiers: shift,
		}); err != nil {
			b.t.Fatal(err)
		}
	}
}

// clean fails the test if the page did what pages should not do.
func (b *tab) clean() {
	b.t.Helper()
	if faults := eval[[]string](b, "faults"); len(faults) > 0 {
		b.t.Errorf("the page had faults: %q", faults)
	}
	origin := strings.TrimPrefix(eval[string](b, "location.origin"), "http")
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, url := range b.asked {
		if rest, ok := strings.CutPrefix(url, "http"); ok && strings.HasPrefix(rest, origin+"/") {
			continue
		}
		if rest, ok := strings.CutPrefix(url, "ws"); ok && strings.HasPrefix(rest, origin+"/") {
			continue
		}
		if !strings.HasPrefix(url, "data:") && !strings.HasPrefix(url, "blob:"+"http"+origin) {
			b.t.Errorf("the page asked for %s", url)
		}
	}
	if len(b.said) > 0 {
		b.t.Errorf("the console says %q", b.said)
	}
}

// scheme makes the device prefer light or dark.
func (b *tab) scheme(name string) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}},
	}); err != nil {
		b.t.Fatal(err)
	}
}
