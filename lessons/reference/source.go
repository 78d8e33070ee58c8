package reference

import (
	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/source"
)

// A Source is something outside the project with which a lesson or a value was compared.
type Source struct {
	Source string // book with edition and section or equation, standard or paper
	What   string // what was compared
	Memory bool   // the source was not at hand: the comparison rests on memory
}

// FromMemory is what a reader is told of a source with Memory.
const FromMemory = "from memory, the source was not at hand"

// ReadSources reads a list of sources and reports what is wrong with it. What the list
// is called stands in the messages. An entry with a mistake is left out.
func ReadSources(in *yamltext.Reader, v *yaml.Node, what string) ([]Source, source.List) {
	y := &reader{yaml: in}
	return y.sources(v, what), y.list
}

func (y *reader) sources(v *yaml.Node, what string) (all []Source) {
	y.each(v, "a list of sources", func(item *yaml.Node) {
		var s Source
		if y.entry(item, what, field{"source", true, words(&s.Source)}, field{"what", true, words(&s.What)}, field{"memory", false, yesNo(&s.Memory)}) {
			all = append(all, s)
		}
	})
	return all
}
