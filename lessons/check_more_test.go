package lessons_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// TestCheckFinds has one lesson for each thing that an author can get wrong, with where it
// is found and how to mend it; and what looks like it and is right.
func TestCheckFinds(t *testing.T) {
	const head = "---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\n"
	const bar = "```calc\nT = 300 N·m\nvary d from 24 mm to 72 mm by 1 mm starting at 40 mm\nθ_1 = T·(0.8 m)/(79 GPa·π/32·d^4) in deg to 3 figures\nθ_2 = 2·θ_1 in deg to 3 figures\n```\n" // θ_1 = 0.693 deg
	for _, c := range []struct {
		name, front, text string
		code              source.Code // "" for nothing
		severity          source.Severity
		line, column      int
		says, repair      string
	}{
		{"a slider with a lower end at which a line fails", "", "```calc\nvary a from 0 m to 2 m by 1 m starting at 1 m\nb = 1/a\n```\n", lessons.CodeSliderEnd, source.Error, 10, 5, "with a at 0 m, an end of its slider, this fails: division by zero", "end the slider before that"},
		{"an upper end", "", "```calc\nvary a from 0 m to 2 m by 1 m starting at 1 m\nb = √(1 m − a)\n```\n", lessons.CodeSliderEnd, source.Error, 10, 5, "with a at 2 m", "breaks"},
		{"a value that may be typed", "", "```calc\nvary n from 1 to 4 by 1 starting at 2 typed up to 10\nb = √(5 − n)\n```\n", lessons.CodeSliderEnd, source.Error, 10, 5, "with n at 10", ""},
		{"several lines are told of once", "", "```calc\nvary a from 0 m to 2 m by 1 m starting at 1 m\nb = 1/a\nc = 2/a\ne = b + 1/m\n```\n", lessons.CodeSliderEnd, source.Error, 10, 5, "(and 1 other line fails there too)", ""},
		{"an end at which a line fails on purpose", "breaks: [a]\n", "```calc\nvary a from 0 m to 2 m by 1 m starting at 1 m\nb = 1/a\n```\n", "", 0, 0, 0, "", ""},
		{"good ends", "", "```calc\nvary a from 1 m to 2 m by 1 m\nb = 1/a\n```\n", "", 0, 0, 0, "", ""},

		{"a number of another line, in words", "", bar + "\nHere $\\theta_1$ is 1.39 deg.\n", lessons.CodeQuote, source.Note, 15, 20, "the text gives θ_1 another value than its cell, which says 0.693 deg", "correct the number"},
		{"in a formula", "", bar + "\nHere $\\theta_{1} = 0.7^\\circ$.\n", "", 0, 0, 0, "", ""},
		{"in a formula, wrong", "", bar + "\nHere $\\theta_{1} = 0.8^\\circ$.\n", lessons.CodeQuote, source.Note, 15, 20, "another value", ""},
		{"in code", "", bar + "\nHere `θ_2 = 0.69 deg`.\n", lessons.CodeQuote, source.Note, 15, 13, "θ_2", ""},
		{"behind code", "", bar + "\nHere `T` is about 400 N·m.\n", lessons.CodeProse, source.Error, 15, 19, "no cell of this lesson gives 400 N·m", ""},
		{"a right one", "", bar + "\nHere $\\theta_1$ is 0.69 deg and `θ_2` ≈ 1.39 deg.\n", "", 0, 0, 0, "", ""},
		{"a place of the slider", "", bar + "\nMove it to $d = 50\\,\\mathrm{mm}$.\n", "", 0, 0, 0, "", ""},
		{"a number from outside", "brings: [1.4 deg]\n", bar + "\nThe smith says `θ_1` is 1.4 deg.\n", "", 0, 0, 0, "", ""},
		{"another quantity", "", bar + "\nWith $T$ is 40 mm meant.\n", "", 0, 0, 0, "", ""},

		{"a misspelled kind", "", "```excercise one\ntitle: A\n```\n", "cell-kind", source.Error, 8, 4, "“excercise” is not a kind of cell", "write ```exercise"},
		{"a tolerance without its unit", "", "```exercise one\ntitle: A\ngiven: {T: {from: 1 N·m, to: 30 N·m, by: 1 N·m}}\nask: The torque\nanswer: 2·T\nunit: N·m\ntolerance: 0.5\nslips: [torque-twice]\n```\n", "exercise-value", source.Error, 14, 12, "its tolerance has no unit", "1 %"},
		{"an answer that nothing tells from wrong ones", "", "```exercise one\ntitle: A\ngiven: {T: {from: 1 N·m, to: 30 N·m, by: 1 N·m}}\nask: The torque\nanswer: 2·T\nunit: N·m\n```\n", "exercise-untold", source.Note, 11, 6, "there are no bounds and no slips here", "write bounds:"},
		{"bounds that hold for anything", "", "```exercise one\ntitle: A\ngiven: {T: {from: 1 N·m, to: 30 N·m, by: 1 N·m}}\nask: The torque\nanswer: 2·T\nunit: N·m\nbounds: {low: T/1000, high: 1000·T}\n```\n", "exercise-untold", source.Note, 11, 6, "inside these bounds", ""},
		{"bounds that tell something", "", "```exercise one\ntitle: A\ngiven: {T: {from: 1 N·m, to: 30 N·m, by: 1 N·m}}\nask: The torque\nanswer: 2·T\nunit: N·m\nbounds: {low: T, high: 1000·T}\n```\n", "", 0, 0, 0, "", ""},
		{"a guess that is given away", "", "The bar turns by 0.693 deg.\n\n```guess how\nask: By how much?\nanswer: θ_1\nunit: deg\ncovers: [θ_1]\n```\n\n" + bar, "guess-above", source.Error, 8, 18, "answers the guess how", "below"},
		{"a picture that is not there", "", "![a bar](none.svg)\n", lessons.CodeAsset, source.Error, 8, 10, "no file none.svg", "put it there"},
		{"a picture that is too large", "", "![a bar](large.png)\n", lessons.CodeAsset, source.Error, 8, 10, "large.png has 2.5 MB, and a picture may have 2 MB", "make it smaller"},
		{"a heavy picture", "", "![a bar](heavy.png)\n", lessons.CodeAsset, source.Note, 8, 10, "heavy.png has 1.0 MB", "make it smaller"},
		{"a good picture", "", "![a bar](bar.svg)\n", "", 0, 0, 0, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			catalog, found := lessons.Load(fstest.MapFS{
				"a.md":    {Data: []byte(head + c.front + "---\n\n" + strings.TrimPrefix(c.text, "\n"))},
				"bar.svg": {Data: []byte("<svg/>")}, "heavy.png": {Data: make([]byte, 1<<20)}, "large.png": {Data: make([]byte, 5<<19)},
			})
			var list source.List
			for _, f := range found {
				list = append(list, f.List...)
			}
			more, err := lessons.Check(context.Background(), catalog.Lessons[0], false)
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, more...)
			shift := strings.Count(c.front, "\n")
			for _, d := range list {
				p := d.Span.Position()
				if d.Code == c.code && d.Severity == c.severity && p.Line == c.line+shift && p.Column == c.column && strings.Contains(d.Message, c.says) && d.Repair != "" && strings.Contains(d.Repair, c.repair) {
					return
				}
			}
			if c.code == "" && len(list) == 0 {
				return
			}
			for _, d := range list {
				t.Log(d.Code, d.Severity, d.Render())
			}
			t.Errorf("not as it should be: %s", c.code)
		})
	}
}

func TestUnusedImages(t *testing.T) {
	folder := fstest.MapFS{
		"a.md":    {Data: []byte("---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\n---\n\n![a](a.svg) and ![b](parts/b.png)\n")},
		"a.svg":   {Data: []byte("<svg/>")},
		"old.svg": {Data: []byte("<svg/>")}, "parts/b.png": {}, "parts/c.PNG": {}, "elsewhere/d.png": {}, "notes.txt": {},
	}
	catalog, found := lessons.Load(folder)
	if len(found) > 0 {
		t.Fatal(found[0].List)
	}
	var names []string
	for _, f := range lessons.UnusedImages(folder, catalog.Lessons) {
		names = append(names, f.Name)
		if f.List[0].Severity != source.Note {
			t.Errorf("%s is a fault", f.Name)
		}
	}
	if got := strings.Join(names, " "); got != "old.svg parts/c.PNG" {
		t.Errorf("without use: %s", got)
	}
}

// TestCheckAllAsOne wants the findings of several lessons to be those of each alone, and
// each to be counted.
func TestCheckAllAsOne(t *testing.T) {
	var list []*lessons.Lesson
	for _, text := range []string{"a = 1/0", "b = 2", "c = 3 m + 4 s"} {
		l, _ := lessons.Parse("a.md", []byte("---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\n---\n\n```calc\n"+text+"\n```\n\n```derive\ngiven x: length > 0 m\ny = x\n  = 2·x because it is\n```\n"))
		list = append(list, l)
	}
	counts := 0
	lists, err := lessons.CheckAll(t.Context(), list, false, func(done int) {
		if counts++; done != counts {
			t.Errorf("%d lessons are done, and were said to be %d", counts, done)
		}
	})
	if err != nil || counts != len(list) {
		t.Fatalf("%d counted, %v", counts, err)
	}
	for i, l := range list {
		alone, err := lessons.Check(t.Context(), l, false)
		if err != nil || alone.Err() == nil || alone.Err().Error() != lists[i].Err().Error() {
			t.Errorf("%v\nalone %v\nwith others %v", err, alone, lists[i])
		}
	}
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := lessons.CheckAll(cancelled, list, false, nil); err == nil {
		t.Error("a check that was cut off said nothing")
	}
}
