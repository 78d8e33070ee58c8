package exercises

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

const (
	defaultAttempts = 3
	mostAttempts    = 20
	mostStructures  = 32
	mostParts       = 16
)

// Parse reads the text of an exercise cell, whose name is id. The exercise is
// never nil; it must not be set or marked if the list holds an error. What can
// be found only with numbers, Prove reports.
func Parse(id string, text *source.Text) (*Exercise, source.List) {
	e := &Exercise{ID: id, Attempts: defaultAttempts, Text: text}
	r := newReader(text)
	e.places = r.Places
	if root := r.Document(); root != nil {
		r.exercise(e, root)
	}
	r.List.Sort()
	return e, r.List
}

// exercise reads the top of the block: what is common to all structures, then
// the structures.
func (r *reader) exercise(e *Exercise, root *yaml.Node) {
	common := &setting{}
	var structures *yaml.Node
	keys := r.settingKeys(common)
	keys["title"] = r.Words(&e.Title, "title")
	keys["task"] = func(n *yaml.Node) {
		if r.Words(&e.Task, "task")(n); !slices.Contains(Tasks, e.Task) {
			r.List.Addf(r.Span(n), CodeValue, "there is no task of this name").Repair = "write one of: " + strings.Join(Tasks, ", ")
		}
	}
	keys["attempts"] = func(n *yaml.Node) {
		if v, ok := r.number(n, "attempts", 1, mostAttempts); ok {
			e.Attempts = int(v)
		}
	}
	keys["structures"] = func(n *yaml.Node) { structures = n }
	found := r.Fields(root, "an exercise", keys)
	if found["title"] == nil {
		r.List.Addf(r.Line(1), CodeKey, "this exercise has no title").Repair = "begin with title: …"
	}
	r.shortPart(common, found)
	if structures == nil {
		e.Structures = []*Structure{r.structure(common, nil, "", r.Line(1))}
		return
	}
	if structures.Kind != yaml.SequenceNode || len(structures.Content) > mostStructures {
		r.List.Addf(r.Span(structures), CodeValue, "structures is a list of at most %d ways to set the problem", mostStructures).
			Repair = "write each as “- name: …”, with its own given, shaft or ask below"
		return
	}
	taken := map[string]bool{}
	for _, n := range structures.Content {
		e.Structures = append(e.Structures, r.oneStructure(common, n, taken))
	}
	if len(e.Structures) == 0 {
		r.List.Addf(r.Span(structures), CodeValue, "structures is empty").Repair = "write one, or remove the key"
	}
}

func (r *reader) oneStructure(common *setting, n *yaml.Node, taken map[string]bool) *Structure {
	own, name := &setting{}, ""
	keys := r.settingKeys(own)
	keys["name"] = r.Words(&name, "the name of a structure")
	found := r.Fields(n, "a structure", keys)
	if name == "" || taken[name] {
		r.List.Addf(r.Span(n), CodeName, "each structure needs a name of its own").Repair = "write name: hollow"
	}
	taken[name] = true
	r.shortPart(own, found)
	return r.structure(common, own, name, r.Span(n))
}

// A setting holds what is under the keys that an exercise and a structure
// share, not yet read where it depends on the rest.
type setting struct {
	text                              string
	given                             []*Given
	where                             []notation.Expr
	work, shaft, figure               *source.Text
	derivation                        *source.Text
	parts                             []*Part
	predictions                       []*Prediction
	solutions                         map[string]*Solution // by part; "" where it is not named
	part                              *Part                // the one part that is written without a list
	isShort                           bool
	hasText, hasParts, hasPredictions bool
}

func (r *reader) settingKeys(s *setting) map[string]func(*yaml.Node) {
	s.part = newPart()
	keys := r.partKeys(s.part)
	delete(keys, "name")
	keys["text"] = func(n *yaml.Node) { r.Words(&s.text, "text")(n); s.hasText = true }
	keys["given"] = func(n *yaml.Node) { s.given = r.givens(n) }
	keys["where"] = func(n *yaml.Node) { s.where = r.conditions(n) }
	keys["work"] = r.block(&s.work, "work")
	keys["shaft"] = r.block(&s.shaft, "shaft")
	keys["figure"] = r.block(&s.figure, "figure")
	keys["derivation"] = func(n *yaml.Node) {
		if _, ok := r.Scalar(n, "derivation"); ok {
			s.derivation = source.NewText(r.Text.Name, n.Value)
		}
	}
	keys["predict"] = func(n *yaml.Node) { s.predictions, s.hasPredictions = r.predictions(n), true }
	keys["ask"] = func(n *yaml.Node) { r.parts(s, n) }
	keys["solution"] = func(n *yaml.Node) { s.solutions = r.solutions(n) }
	return keys
}

// block reads statements or lines of a shaft.
func (r *reader) block(into **source.Text, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if _, ok := r.Scalar(n, what); ok {
			*into = r.TextOf(n, "")
		}
	}
}

// structure puts together what is common and what is a structure's own: given
// names and conditions are added, anything else of its own replaces
// the common.
func (r *reader) structure(common, own *setting, name string, at source.Span) *Structure {
	s := &Structure{Name: name, at: at, Text: common.text, Given: common.given, where: common.where,
		derivation: common.derivation, work: common.work, shaft: common.shaft, figure: common.figure, Parts: common.parts, Predictions: common.predictions}
	if own != nil {
		s.override(own)
	}
	r.checkNames(s)
	r.setSolutions(s, common, own)
	r.checkLines(s)
	r.findWords(s)
	if len(s.Parts) == 0 {
		r.List.Addf(at, CodeKey, "this exercise has no question").Repair = "write ask: with the question, and answer: with the expression that is right"
	}
	return s
}

func (s *Structure) override(own *setting) {
	s.Given = append(append([]*Given{}, s.Given...), own.given...)
	s.where = append(append([]notation.Expr{}, s.where...), own.where...)
	if own.hasText {
		s.Text = own.text
	}
	if own.work != nil {
		s.work = own.work
	}
	if own.derivation != nil {
		s.derivation = own.derivation
	}
	if own.shaft != nil {
		s.shaft = own.shaft
	}
	if own.figure != nil {
		s.figure = own.figure
	}
	if own.hasParts {
		s.Parts = own.parts
	}
	if own.hasPredictions {
		s.Predictions = own.predictions
	}
}

// checkNames reports names that occur twice among givens and among parts.
func (r *reader) checkNames(s *Structure) {
	givens := map[string]bool{}
	for _, g := range s.Given {
		if givens[g.Name] {
			r.List.Addf(g.at, CodeName, "%s is given twice", g.Name).Repair = "give each name once; a structure adds to the names given above"
		}
		givens[g.Name] = true
	}
	parts := map[string]bool{}
	for _, a := range s.Parts {
		if parts[a.Name] {
			r.List.Addf(a.at, CodeName, "two parts have the name %s", a.Name).Repair = "give each part a name of its own"
		}
		parts[a.Name] = true
	}
	for _, p := range s.Predictions {
		if parts[p.Name] {
			r.List.Addf(p.at, CodeName, "two parts have the name %s", p.Name).Repair = "give each part a name of its own"
		}
		parts[p.Name] = true
	}
}

// conditions reads where.
func (r *reader) conditions(n *yaml.Node) []notation.Expr {
	var list []notation.Expr
	for _, item := range r.Items(n) {
		if x := r.expr(item, "a condition"); x != nil {
			list = append(list, x)
		}
	}
	return list
}

// expr reads an expression of the notation, nil after reporting what is wrong.
func (r *reader) expr(n *yaml.Node, what string) notation.Expr {
	if _, ok := r.Scalar(n, what); !ok {
		return nil
	}
	x, list := notation.ParseExpr(r.TextOf(n, ""))
	r.List = append(r.List, r.Places.Locate(list)...)
	if list.HasErrors() {
		return nil
	}
	if b, ok := x.(*notation.Binary); ok && b.Implicit {
		number, isNumber := b.X.(*notation.Number)
		if word, isName := b.Y.(*notation.Name); isNumber && isName && notation.LooksLikeUnit(word.At.Content()) {
			r.List = append(r.List[:len(r.List)-len(list)], r.Places.Locate(source.List{notation.NotAUnit(word.At, word.At.Content(), number.Text)})...)
			return nil
		}
	}
	return x
}

// into returns a reader of an expression.
func (r *reader) into(x *notation.Expr, what string) func(*yaml.Node) {
	return func(n *yaml.Node) { *x = r.expr(n, what) }
}

// name checks a name of a part.
func (r *reader) name(into *string, what string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		s, ok := r.Scalar(n, what)
		if !ok {
			return
		}
		if strings.ContainsFunc(s, func(c rune) bool { return !isSlugRune(c) }) || len(s) > 40 {
			r.List.Addf(r.Span(n), CodeName, "“%s” cannot be the name of %s", s, what).Repair = "use small letters, digits and hyphens: far-end"
			return
		}
		*into = s
	}
}

func isSlugRune(c rune) bool { return c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' }

func numbered(what string, i int) string { return fmt.Sprintf("%s-%d", what, i+1) }
