package authoring

import (
	"strings"

	"shaftbook/lessons"
)

// mostName bounds the name of a lesson, in bytes.
const mostName = 60

// IsSlug reports whether a name can be that of a lesson.
func IsSlug(name string) bool {
	return len(name) <= mostName && lessons.IsSlug(name) && !kept[name]
}

// kept are names that mean something else: a file that is no lesson, addresses of pages,
// and devices of one system.
var kept = func() map[string]bool {
	all := map[string]bool{}
	for _, name := range strings.Fields("readme front-page-shaft figure-gallery states-gallery con prn aux nul com1 com2 com3 com4 com5 com6 com7 com8 com9 lpt1 lpt2 lpt3 lpt4 lpt5 lpt6 lpt7 lpt8 lpt9") {
		all[name] = true
	}
	return all
}()

// NameFrom makes a name of a lesson from what was typed: a title becomes small letters,
// digits and hyphens.
func NameFrom(typed string) string {
	typed = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(typed)), ".md")
	return strings.Join(strings.FieldsFunc(typed, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') }), "-")
}

// titleFrom makes a title of a name: "mill-shaft" becomes "Mill shaft".
func titleFrom(slug string) string {
	title := strings.ReplaceAll(slug, "-", " ")
	return strings.ToUpper(title[:1]) + title[1:]
}
