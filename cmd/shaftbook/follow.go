package main

import (
	"context"
	"io/fs"
	"log/slog"
	"strings"
	"sync"

	"shaftbook/lessons"
	"shaftbook/lessons/folder"
	"shaftbook/web"
)

// A follower has a server serve the lessons of its folders as they are.
type follower struct {
	server  *web.Server
	folders []fs.FS
	log     *slog.Logger

	mu      sync.Mutex
	catalog *lessons.Catalog // that is served
}

// reload reads again what has changed, and serves it when it returns. It may be called
// from several goroutines, once the server is open.
func (f *follower) reload() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.catalog == nil {
		f.catalog = f.server.Catalog
	}
	next, found := lessons.LoadAgain(f.catalog, f.folders...)
	change := f.server.Replace(next)
	f.catalog = next
	if len(change.Lessons) == 0 {
		return
	}
	f.log.Info("lessons have changed", "lessons", few(change.Lessons), "files with problems", len(found))
	for _, problems := range found {
		for _, d := range problems.List {
			if d.Code == lessons.CodeFile {
				f.log.Warn("a lesson is shown as it was before", "file", problems.Name, "why", strings.TrimSpace(d.Message))
			}
		}
	}
}

// follow reloads as the files of the folder change, until ctx ends.
func (f *follower) follow(ctx context.Context, from lessonFlags) {
	if from.folder == "" {
		return
	}
	w := &folder.Watcher{Path: from.folder, Files: f.folders[len(f.folders)-1], Log: f.log, Changed: f.reload}
	w.Run(ctx)
}
