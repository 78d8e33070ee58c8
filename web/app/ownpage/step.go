package ownpage

import (
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
)

// A Beginning is a kind of block that can be added to a page, with the text with which
// it begins.
type Beginning struct {
	Kind string // in forms
	Word string // of the button, after “Add”
	Name string // what NAME in the text stands for, or the next that is free; empty for none
	Text string
}

// Beginnings are the kinds of blocks that can be added, in the order of the buttons.
var Beginnings = []Beginning{
	{"text", "text", "", "New text\n\n"},
	{"calc", "calculation", "", "```calc\n```\n\n"},
	{"shaft", "shaft", "S", "```shaft NAME\nG = 79 GPa\nsolid 40 mm for 800 mm\ntorque −420 N·m at 0 mm\ntorque 420 N·m at 800 mm\n```\n\n```calc\ndraw NAME\n```\n\n"},
	{"derive", "derivation", "", "```derive\ngiven T: torque > 0, d: length > 0\nτ = T·(d/2)/(π/32·d^4)\n  = ?\n```\n\n"},
	{"guess", "guess", "guess", "```guess NAME\nask: The torque on a shaft is doubled. What becomes of its twist?\nkind: pick\noptions:\n  - text: it doubles\n    right: yes\n  - text: it stays the same\n```\n\n"},
	{"trials", "trials", "n", "```calc\nvary NAME from 1 to 40 by 1 starting at 4\ntrials of (sum of 1/i^2 for i from 1 to NAME) for NAME\n```\n\n"},
}

// beginningOf returns the text of a kind of block, with a name that no block of the
// page has.
func beginningOf(kind string, there []lessons.Block) (string, bool) {
	i := slices.IndexFunc(Beginnings, func(b Beginning) bool { return b.Kind == kind })
	if i < 0 {
		return "", false
	}
	b := Beginnings[i]
	if b.Name == "" {
		return b.Text, true
	}
	name := b.Name
	for n := 2; isTaken(name, there); n++ {
		name = b.Name + strconv.Itoa(n)
	}
	return strings.ReplaceAll(b.Text, "NAME", name), true
}

// isTaken reports whether a line of a cell begins with a name, or a cell has it.
func isTaken(name string, there []lessons.Block) bool {
	for _, b := range there {
		if b.Cell == "" {
			continue
		}
		for line := range strings.Lines(b.Raw) {
			words := strings.Fields(strings.TrimLeft(line, "`~"))
			if len(words) > 0 && words[0] == name || len(words) > 1 && words[1] == name {
				return true
			}
		}
	}
	return false
}

// A Step is what a form asks for: one thing done to one block.
type Step struct {
	Base int64 // the revision that the form shows
	At   int   // the block, from 0; -1 is above all
	Do   string
	Add  string // the kind of block to add below it; empty for another step
	Text string // of a save
}

// Change returns the change of a page that a step is, and the number of the block to be
// looked at afterwards. ok is false where the page has no such block.
func (s Step) Change(p store.Page) (c PageChange, next int, ok bool) {
	blocks := lessons.Blocks(p.Text)
	was := raws(blocks)
	c = PageChange{Blocks: slices.Clone(was), Was: was, Base: s.Base}
	if s.At >= len(was) || s.At < 0 && s.Add == "" {
		return c, 0, false
	}
	next = s.At
	switch {
	case s.Add != "":
		text, known := beginningOf(s.Add, blocks)
		if !known {
			return c, 0, false
		}
		next = max(s.At, -1) + 1
		c.Blocks = slices.Insert(c.Blocks, next, text)
	case s.Do == "save":
		text := lessons.CleanText(s.Text)
		c.Blocks[s.At] = text
		if s.Base != p.Revision && text != was[s.At] {
			c.Was = slices.Clone(was)
			c.Was[s.At] = "\x00" // the form has not seen what is there, so that it is kept as a version
		}
	case s.Do == "remove":
		c.Blocks = slices.Delete(c.Blocks, s.At, s.At+1)
	case s.Do == "up" && s.At > 0:
		c.Blocks[s.At-1], c.Blocks[s.At] = c.Blocks[s.At], c.Blocks[s.At-1]
		next--
	case s.Do == "down" && s.At+1 < len(was):
		c.Blocks[s.At+1], c.Blocks[s.At] = c.Blocks[s.At], c.Blocks[s.At+1]
		next++
	case s.Do == "up", s.Do == "down":
	default:
		return c, 0, false
	}
	if strings.TrimSpace(strings.Join(c.Blocks, "")) == "" {
		c.Blocks = nil
	}
	return c, next, true
}
