package main

import (
	"context"
	"io/fs"
	"log/slog"
	"strings"

	"shaftbook/lessons"
	"shaftbook/lessons/folder"
	"shaftbook/web"
)

// follow serves the lessons of the folder as its files change, until ctx ends.
func (l lessonFlags) follow(ctx context.Context, server *web.Server, folders []fs.FS, log *slog.Logger) {
	if l.folder == "" {
		return
	}
	catalog := server.Catalog
	w := &folder.Watcher{Path: l.folder, Files: folders[len(folders)-1], Log: log}
	w.Changed = func() {
		next, found := lessons.LoadAgain(catalog, folders...)
		change := server.Replace(next)
		catalog = next
		if len(change.Lessons) == 0 {
			return
		}
		log.Info("lessons have changed", "lessons", few(change.Lessons), "files with problems", len(found))
		for _, f := range found {
			for _, d := range f.List {
				if d.Code == lessons.CodeFile {
					log.Warn("a lesson is shown as it was before", "file", f.Name, "why", strings.TrimSpace(d.Message))
				}
			}
		}
	}
	w.Run(ctx)
}
