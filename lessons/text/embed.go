// Package text holds the lessons that come with shaftbook.
package text

import "embed"

// Files are the lessons with the images that they show, and what stands beside them:
// the glossary, the symbols and the paths through the lessons.
//
//go:embed *.md *.yaml
var Files embed.FS
