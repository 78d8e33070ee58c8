// Package text holds the lessons that come with shaftbook.
package text

import "embed"

// Files are the lessons and the images that they show.
//
//go:embed *.md
var Files embed.FS
