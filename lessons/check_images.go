package lessons

import (
	"io/fs"
	"path"
	"slices"

	"shaftbook/kernel/source"
)

// MaxImage is the largest picture of a lesson, in bytes, and heavyImage is from where an
// author should think about it: a second on a line of 4 Mbit/s.
const (
	MaxImage   = 2 << 20
	heavyImage = 512 << 10
)

const tooLarge = "make it smaller, draw it as an .svg file, or let draw make it from the numbers"

// UnusedImages notes the pictures beside some lessons that none of them shows. It looks
// into the folder and into those folders of it from which a picture is shown.
func UnusedImages(folder fs.FS, list []*Lesson) []FileDiagnostics {
	shown, within := map[string]bool{}, map[string]bool{".": true}
	for _, l := range list {
		for _, a := range l.Assets {
			shown[path.Clean(a.Path)] = true
			within[path.Dir(path.Clean(a.Path))] = true
		}
	}
	var unused []string
	for dir := range within {
		entries, err := fs.ReadDir(folder, dir)
		if err != nil {
			continue // a picture that is not there was reported where it is shown
		}
		for _, e := range entries {
			if name := path.Join(dir, e.Name()); !e.IsDir() && isPicture(name) && !shown[name] {
				unused = append(unused, name)
			}
		}
	}
	slices.Sort(unused)
	var found []FileDiagnostics
	for _, name := range unused {
		var notes source.List
		notes.Notef(source.Span{}, CodeUnused, "no lesson shows this picture").
			Repair = "show it with ![what it shows](" + name + "), or take it out of the folder"
		found = append(found, FileDiagnostics{Name: name, List: notes})
	}
	return found
}
