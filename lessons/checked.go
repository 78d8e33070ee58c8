package lessons

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// A Source is one entry of the front matter's key "checked": something outside the
// project against which a lesson was compared.
type Source struct {
	Source string // book with edition and section or equation, standard or paper
	What   string // what was compared
	Memory bool   // the source was not at hand: the comparison rests on memory
}

// FromMemory is what a reader is told of a source with Memory.
const FromMemory = "from memory, the source was not at hand"

const checkedRepair = "write a list of entries with source: and what:, each a line of text"

// readChecked reads the entries of "checked". A mistake is reported at the entry, or the
// key or value within it, and leaves the entry out.
func (f *front) readChecked(m *FrontMatter, v *yaml.Node) {
	if v.Kind != yaml.SequenceNode || len(v.Content) == 0 {
		f.reject(v, "a list of sources", checkedRepair)
		return
	}
	for _, item := range v.Content {
		if entry, ok := f.readSource(item); ok {
			m.Checked = append(m.Checked, entry)
		}
	}
}

func (f *front) readSource(item *yaml.Node) (entry Source, ok bool) {
	if item.Kind != yaml.MappingNode {
		f.reject(item, "an entry of checked", checkedRepair)
		return entry, false
	}
	seen, ok := map[string]bool{}, true
	for i := 0; i+1 < len(item.Content); i += 2 {
		key, value := item.Content[i], item.Content[i+1]
		if seen[key.Value] {
			f.list.Addf(f.yaml.Span(key), CodeKey, "a second %s", key.Value).Repair = "remove one of them"
			ok = false
			continue
		}
		seen[key.Value] = true
		var repair string
		switch key.Value {
		case "source":
			repair = readText(&entry.Source, value)
		case "what":
			repair = readText(&entry.What, value)
		case "memory":
			repair = readYesNo(&entry.Memory, value)
		default:
			f.list.Addf(f.yaml.Span(key), CodeKey, "an entry of checked has no key “%s”", key.Value).Repair = "the keys are source, what, memory"
			ok = false
		}
		if repair != "" {
			f.reject(value, "the "+key.Value+" of an entry of checked", repair)
			ok = false
		}
	}
	for _, required := range []string{"source", "what"} {
		if !seen[required] {
			f.list.Addf(f.yaml.Span(item), CodeKey, "this entry of checked has no %s", required).Repair = "add a line " + required + ": …"
			ok = false
		}
	}
	return entry, ok
}

func readYesNo(to *bool, v *yaml.Node) string {
	word := strings.ToLower(v.Value)
	if v.Kind != yaml.ScalarNode || word != "yes" && word != "no" {
		return "write yes or no"
	}
	*to = word == "yes"
	return ""
}
