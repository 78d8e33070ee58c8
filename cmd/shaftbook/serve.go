package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/netip"
	"net/url"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"syscall"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
	"shaftbook/web/metrics"
)

// drainWait is how long a server that was asked to stop waits for what is
// running.
const drainWait = 5 * time.Second

const serveUsage = `shaftbook serve [--listen ADDRESS] [--data FOLDER] [--class] …

Serves the lessons to browsers until it is stopped, and stores learners' work in a
folder. With --class, everyone signs in, and instructors assign lessons and see
marks. It first prints the address to open. One server uses a data folder at a time.
/health/live and /health/ready say how it is; web/OPERATING.md is the guide for the
person who runs it.

`

// serveConfig is what the flags of serve say.
type serveConfig struct {
	listen  string
	data    string
	store   string
	lessons lessonFlags
	origins origins
	proxies proxies
	cert    string // file of a certificate
	key     string // file of its key
	gallery bool
	closed  bool // no page is shared with a link
	write   bool
	classes bool
	plain   bool   // classes over an unencrypted network
	metrics string // address of the metrics; empty for none
	log     string // format of the log
	letIn   string // sign-in name of somebody who gets an entry link
}

// checkAddresses refuses addresses that cannot be listened on.
func (c *serveConfig) checkAddresses() error {
	if err := checkAddress("listen", c.listen); err != nil {
		return err
	}
	if c.metrics == "" {
		return nil
	}
	if _, port, _ := net.SplitHostPort(c.listen); c.metrics == c.listen && port != "0" {
		return fmt.Errorf("--metrics and --listen are both %s: give the metrics another port, which readers do not reach", c.listen)
	}
	return checkAddress("metrics", c.metrics)
}

// origins collects the flag --origin.
type origins []string

func (o *origins) String() string { return fmt.Sprint([]string(*o)) }

func (o *origins) Set(s string) error {
	u, err := url.Parse(s)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" || u.Path != "" || u.RawQuery != "" {
		return fmt.Errorf("an origin is a scheme and a host, for example https://twist.example")
	}
	*o = append(*o, s)
	return nil
}

// proxies collects the flag --trusted-proxy.
type proxies []netip.Prefix

func (p *proxies) String() string { return fmt.Sprint([]netip.Prefix(*p)) }

func (p *proxies) Set(s string) error {
	network, err := netip.ParsePrefix(s)
	if err != nil {
		var one netip.Addr
		if one, err = netip.ParseAddr(s); err == nil {
			network, err = one.Prefix(one.BitLen())
		}
	}
	if err != nil {
		return fmt.Errorf("a proxy is an address or a network, for example 127.0.0.1 or 10.0.0.0/8")
	}
	*p = append(*p, network.Masked())
	return nil
}

// serve serves lessons until a signal or ctx ends it.
func serve(ctx context.Context, args []string, out io.Writer) error {
	var c serveConfig
	flags := flag.NewFlagSet("shaftbook serve", flag.ContinueOnError)
	flags.Usage = func() {
		fmt.Fprint(flags.Output(), serveUsage)
		flags.PrintDefaults()
	}
	flags.StringVar(&c.listen, "listen", "127.0.0.1:8930", "`address` to listen on; port 0 picks a free one")
	usual, noUsual := defaultFolder()
	flags.StringVar(&c.data, "data", usual, "`folder` for learners' work; created if it does not exist")
	flags.StringVar(&c.store, "store", "", "`database` for learners' work instead of the folder: postgres://…, or the path of a file")
	flags.StringVar(&c.lessons.folder, "lessons", "", "`folder` of lessons to serve beside the built-in ones")
	flags.BoolVar(&c.lessons.only, "only", false, "with --lessons: serve its lessons only, without the built-in ones")
	flags.BoolVar(&c.write, "write", false, "with --lessons: also show the folder’s lessons as their author sees them, under /write: with what is to be mended, and following the file that is saved. Only on this machine or, with --class, for instructors")
	flags.Var(&c.origins, "origin", "`origin` under which readers reach this server through a proxy; may be repeated")
	flags.StringVar(&c.cert, "tls-cert", "", "`file` with a certificate (PEM, with its chain): serve over TLS; reloaded when it changes")
	flags.StringVar(&c.key, "tls-key", "", "`file` with the certificate's key")
	flags.Var(&c.proxies, "trusted-proxy", "address or `network` of a proxy, such as 10.0.0.0/8, whose X-Forwarded-For and X-Forwarded-Proto are trusted; may be repeated")
	flags.BoolVar(&c.classes, "class", false, "serve classes: everyone signs in, and instructors assign lessons and see marks")
	flags.StringVar(&c.letIn, "let-in", "", "with --class: print a link with which the person with this sign-in `name` can choose a new password")
	flags.BoolVar(&c.plain, "plain-http", false, "with --class: allow unencrypted passwords on the network; only for a network that you alone use")
	flags.StringVar(&c.metrics, "metrics", "", "`address` for metrics in the Prometheus format (/metrics) and health checks, apart from readers; it should be reached by whoever runs the server only")
	flags.StringVar(&c.log, "log", "text", "`format` of the log on standard error: text or json")
	flags.BoolVar(&c.closed, "no-sharing", false, "let nobody share a page of their own with a link; links from before do not work")
	flags.BoolVar(&c.gallery, "gallery", false, "for developers: also show every kind of figure, at /figures, and every state of the parts of a page, at /figures/states")
	if err := parseFlags(flags, args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return wrongFlags(flags, fmt.Errorf("it takes only flags, and %q is not one", flags.Arg(0)))
	}
	if err := errors.Join(checkStore(flags, c.store), c.checkAddresses(), c.lessons.check(), c.checkWrite()); err != nil {
		return wrongFlags(flags, err)
	}
	if c.data == "" && c.store == "" {
		return noUsual
	}
	if err := c.checkClasses(); err != nil {
		return err
	}
	// The first signal ends the server in good order. From then on signals have
	// their usual effect, so that a second one ends the process at once.
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	return c.run(ctx, stop, out)
}

func (c *serveConfig) run(ctx context.Context, stop func(), out io.Writer) (err error) {
	log, err := web.NewLog(os.Stderr, c.log)
	if err != nil {
		return err
	}
	folders, err := c.lessons.open()
	if err != nil {
		return err
	}
	collectLater()
	web.Prepare()
	shelf := make(chan *lessons.Catalog, 1)
	go func() { shelf <- load(folders, c.lessons, log) }()
	store, err := c.openStore(ctx)
	if err != nil {
		return err
	}
	// After the server, so that what is under way is still kept.
	defer func() { err = errors.Join(err, store.Close()) }()
	desk, err := attempt.NewService(ctx, store, version())
	if err != nil {
		return storeError(err)
	}
	server := &web.Server{
		Catalog:  <-shelf,
		Attempts: desk,
		Origins:  c.origins,
		Proxies:  c.proxies,

		CertFile: c.cert, KeyFile: c.key,
		Gallery:   c.gallery,
		NoSharing: c.closed,
		Log:       log,
		Store:     store,
	}
	following := &follower{server: server, folders: folders, log: log}
	if c.classes {
		server.Classes = store
		if server.Folder, err = c.lessons.writable(); err != nil {
			return err
		}
		server.Reload = following.reload
	}
	if c.write {
		server.Writes = c.lessons.isOwn
	}
	if open.OnServer(c.store) {
		// Several servers may share it, and count together what is tried too often.
		server.Tries = store
		desk.MarkTogether(store)
	}
	store.Observe(c.observer(server, store))
	if err := server.Open(c.listen); err != nil {
		return err
	}
	if c.metrics != "" {
		if err := server.OpenMetrics(c.metrics); err != nil {
			return errors.Join(err, closeInTime(server))
		}
		if !isLoopback(c.metrics) {
			log.Warn("the metrics can be reached from other machines; see that readers cannot, or give --metrics an address of this machine only, such as 127.0.0.1:8931")
		}
	}
	fmt.Fprintln(out, server.URL())
	log.Info("serving", "address", server.URL(), "lessons", c.lessons.describe(server.Catalog), "classes", c.classes, "version", version())
	if c.write {
		log.Info("whoever writes the lessons of the folder sees them here", "address", server.URL()+"write")
	}
	go following.follow(ctx, c.lessons)
	if err := c.printLinks(ctx, server, out); err != nil {
		return errors.Join(err, closeInTime(server))
	}
	return untilEnd(ctx, stop, server)
}

// startHeap is the GOGC until memory is first collected: some 16 MB are taken before
// that, which is more than a start and its first page need.
const startHeap = 400

// collectLater spares the start of a server the collections of memory that it would have
// on its way, from which there is nothing to gain: almost all of it is kept. With the
// first one the usual setting is back. A GOGC of the environment stands.
func collectLater() {
	if os.Getenv("GOGC") != "" {
		return
	}
	first := new([64]byte) // nobody holds it, so the first collection finds it
	runtime.AddCleanup(first, func(usual int) { debug.SetGCPercent(usual) }, debug.SetGCPercent(startHeap))
}

// observer writes into the log, and counts, what becomes of the store.
func (c *serveConfig) observer(server *web.Server, s contract.Store) store.Observer {
	var where []any
	if hosts := open.Hosts(c.store); hosts != "" {
		where = []any{web.AddressKey, hosts}
	}
	o := store.Observer{
		Failed: func(err error) {
			server.Log.Error("the store fails: nothing is saved until it is well again", append(where, "error", err)...)
		},
		Recovered: func(after time.Duration) {
			server.Log.Info("the store is well again", "after", after.Round(time.Millisecond).String())
		},
	}
	if c.metrics == "" {
		return o
	}
	m := metrics.New(version(), runtime.Version())
	m.Connections(s.Connections)
	server.Metrics = m
	failed, recovered := o.Failed, o.Recovered
	o.Committed = m.Committed
	o.Failed = func(err error) { m.Failed(); failed(err) }
	o.Recovered = func(after time.Duration) { m.Recovered(); recovered(after) }
	return o
}

// untilEnd lets a server run until ctx ends or serving fails, and closes it in
// good order.
func untilEnd(ctx context.Context, stop func(), server *web.Server) error {
	select {
	case err := <-server.Failed():
		return err
	case <-ctx.Done():
	}
	stop()
	server.Log.Info("stopping")
	return closeInTime(server)
}

// closeInTime ends a server in good order, and cuts off what does not end.
func closeInTime(server *web.Server) error {
	drained, cancel := context.WithTimeout(context.Background(), drainWait)
	defer cancel()
	return server.Close(drained)
}

// openStore opens the store that the flags name.
func (c *serveConfig) openStore(ctx context.Context) (contract.Store, error) {
	name := c.store
	if name == "" {
		if err := makeFolder(c.data); err != nil {
			return nil, err
		}
		name = sqlite.FileIn(c.data)
	}
	release := func() error { return nil }
	if !open.OnServer(name) {
		var err error
		if release, err = reserve(name); err != nil {
			return nil, err
		}
	}
	store, err := open.Store(ctx, name)
	if err != nil {
		return nil, errors.Join(storeError(err), release())
	}
	return &reserved{store, release}, nil
}

// reserved is a store that no other server uses until it is closed.
type reserved struct {
	contract.Store
	release func() error
}

func (r *reserved) Close() error { return errors.Join(r.Store.Close(), r.release()) }

func storeError(err error) error {
	return fmt.Errorf("learners' work cannot be stored, so the server does not start: %w", err)
}

// version names the build, for the record of each attempt.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return info.Main.Version + " " + s.Value
		}
	}
	return info.Main.Version
}
