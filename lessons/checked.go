package lessons

import (
	"go.yaml.in/yaml/v3"

	"shaftbook/lessons/reference"
)

// A Source is something outside the project with which a lesson was compared.
type Source = reference.Source

// readChecked reads the entries of "checked".
func (f *front) readChecked(m *FrontMatter, v *yaml.Node) {
	sources, list := reference.ReadSources(f.yaml, v, "checked")
	m.Checked = sources
	f.list = append(f.list, list...)
}
