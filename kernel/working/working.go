// Package working evaluates the working of a lesson: all its calculation cells
// and shaft cells together. Start with [New]; give it cells with
// [Working.SetCells] and bring their results up to date with
// [Working.Evaluate].
//
// Statements may be in any order in any cell; evaluation follows what they
// need. After an edit or a slider move only what depends on the change is
// checked and evaluated again.
package working

import (
	"context"
	"fmt"
	"slices"
	"sync/atomic"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Limits bound what one statement may cost; see program.Limits.
type Limits = program.Limits

// A Working is a set of cells with their results. It is not safe for
// concurrent use.
type Working struct {
	// settings
	limits Limits

	// Progress, if set, is called from Evaluate while one statement takes
	// longer than a quarter of a second: the share done and what is being done.
	Progress func(fraction float64, what string)

	// the text
	cells []*cellState

	// derived from the text; see index
	items     []*item
	definers  map[string][]*item // in document order; the first one counts
	order     []int              // items after what they need
	cycles    map[*item]string   // items on a cycle, with the path
	preferred []unit.Unit

	// evaluation
	checker *check.Checker
	clock   int
	unsure  bool                 // causes have to be looked for again
	proofs  map[*source.Fix]bool // of repairs; for the present text
	work    int64                // what the Evaluate that is going on has cost so far
	held    int64                // bytes of the tables and figures before the item that it is at

	// ctx is that of the last Evaluate, Eval or GiveWay: what is read, and what is
	// worked out later, when a result is shown, gives way at its point.
	ctx   context.Context
	point pause.Point

	round      int                                 // counts the calls of Evaluate
	reporting  *item                               // what progress is reported of
	reportsFor func(fraction float64, what string) // see progressOf

	// current is the budget of the statement that is evaluated now: what its
	// shafts work out again on the way counts towards its work.
	current atomic.Pointer[program.Run]
}

type cellState struct {
	id     string
	kind   CellKind
	name   string
	text   *source.Text
	items  []*item
	edited bool // its results are all to be sent again
}

// New returns an empty working.
func New(limits Limits) *Working {
	w := &Working{limits: limits, ctx: context.Background()}
	w.checker = check.New(scope{w})
	w.checker.UnitFor = func(number float64, d unit.Dimension) (string, bool) {
		text, sure := w.likelyUnit(number, d, nil)
		if d == unit.Base(-1, 1, -2) {
			return "MPa", false // a modulus in GPa says nothing of a stress
		}
		return text, sure
	}
	return w
}

// SetCells replaces all cells. What readers have varied is kept for the names
// that are still there.
func (w *Working) SetCells(cells []Cell) {
	varied := map[string]*item{}
	for _, it := range w.items {
		if it.hasVaried {
			varied[it.defines] = it
		}
	}
	w.cells = w.cells[:0]
	for _, c := range cells {
		state := &cellState{id: c.ID, kind: c.Kind, name: notation.Canonical(c.Name), text: c.Text, edited: true}
		state.items = w.read(state)
		w.cells = append(w.cells, state)
	}
	w.index()
	for _, it := range w.items {
		if old, ok := varied[it.defines]; ok && it.isVary() {
			it.varied, it.hasVaried, it.isShown = old.varied, true, old.isShown
		}
	}
}

// GiveWay lets the reading of texts, too, give way to other calculations where ctx
// says (package pause), until the next Evaluate; without it only evaluating does.
func (w *Working) GiveWay(ctx context.Context) { w.ctx, w.point = ctx, pause.From(ctx) }

// What steps cost that are booked for no statement, in the unit of package pause.
const (
	readWork  = 20_000 // reading a statement
	itemWork  = 3_000  // finding which names it needs
	lookWork  = 10     // looking at it for a name that another one lacks
	checkWork = 10_000 // checking it
	showWork  = 50_000 // showing its result
)

// step lets other calculations go first, if it is their turn.
func (w *Working) step(work int64) {
	if w.point != nil {
		w.point.Here(work)
	}
}

func (w *Working) read(cell *cellState) []*item {
	if cell.kind == Shaft {
		w.step(readWork)
		return readShaft(cell)
	}
	return w.readCalc(cell)
}

// Edit replaces the text of a cell. Statements whose text is unchanged keep
// their results. It returns an error if there is no such cell.
func (w *Working) Edit(id, text string) error {
	cell := w.cell(id)
	if cell == nil {
		return fmt.Errorf("there is no cell %q in this lesson", id)
	}
	if text == cell.text.Content {
		return nil
	}
	w.replace(cell, &source.Text{Name: cell.text.Name, Content: text, FirstLine: cell.text.FirstLine})
	return nil
}

// Replace is Edit with a text that keeps its identity: places in the cell are then places
// in it. The text must not be changed later.
func (w *Working) Replace(id string, text *source.Text) error {
	cell := w.cell(id)
	if cell == nil {
		return fmt.Errorf("there is no cell %q in this lesson", id)
	}
	if text != cell.text {
		w.replace(cell, text)
	}
	return nil
}

func (w *Working) replace(cell *cellState, text *source.Text) {
	old, oldText := cell.items, cell.text
	cell.text = text
	cell.items = match(old, w.read(cell))
	cell.edited = true
	before := w.definers
	w.index()
	w.touchUsers(before)
	w.touchPointers(oldText)
	for _, it := range w.items {
		if it.checked.HasErrors() {
			it.recheck = true // what is offered depends on the names and units that there are
		}
	}
}

// match lets new items adopt the old ones of equal text, in order.
func match(old, fresh []*item) []*item {
	byKey := map[string][]*item{}
	for _, it := range old {
		byKey[it.key] = append(byKey[it.key], it)
	}
	for i, it := range fresh {
		if same := byKey[it.key]; len(same) > 0 {
			byKey[it.key] = same[1:]
			fresh[i] = it.reuse(same[0])
		}
	}
	return fresh
}

// touchUsers asks for a new evaluation of every item that uses a name whose
// definition has come, gone or changed hands.
func (w *Working) touchUsers(before map[string][]*item) {
	changed := map[string]bool{}
	note := func(a, b map[string][]*item) {
		for ident, list := range a {
			if other := b[ident]; len(other) != len(list) || other[0] != list[0] {
				changed[ident] = true
			}
		}
	}
	note(before, w.definers)
	note(w.definers, before)
	for _, it := range w.items {
		isChanged := func(ident string) bool { return changed[ident] }
		if changed[it.defines] || slices.ContainsFunc(it.uses, isChanged) || slices.ContainsFunc(it.symbols, isChanged) {
			it.markDirty()
		}
	}
}

// touchPointers asks for a new evaluation of items whose diagnostics point
// into a text that no longer exists.
func (w *Working) touchPointers(gone *source.Text) {
	for _, it := range w.items {
		for _, d := range it.result.Diagnostics {
			for _, r := range d.Related {
				if r.Span.Text == gone {
					it.markDirty()
				}
			}
		}
	}
}

// Vary sets the value of a vary statement, in the unit of its slider. The
// value is kept within the slider's ends.
func (w *Working) Vary(name string, value float64) error {
	name = notation.Canonical(name)
	for _, it := range w.definers[name] {
		if !it.isVary() {
			continue
		}
		it.varied, it.hasVaried, it.isShown, it.dirty = value, true, true, true
		return nil
	}
	return fmt.Errorf("there is no name %q to vary in this lesson", name)
}

// Unvary gives every slider its starting value again.
func (w *Working) Unvary() {
	for _, it := range w.items {
		if it.hasVaried {
			it.hasVaried, it.dirty = false, true
		}
	}
}

func (it *item) isVary() bool {
	_, ok := it.node.(*notation.Vary)
	return ok
}

func (w *Working) cell(id string) *cellState {
	for _, c := range w.cells {
		if c.id == id {
			return c
		}
	}
	return nil
}

// Text returns the present text of a cell.
func (w *Working) Text(id string) (string, bool) {
	cell := w.cell(id)
	if cell == nil {
		return "", false
	}
	return cell.text.Content, true
}

// Source is Text as the cell has it; nil if there is no such cell.
func (w *Working) Source(id string) *source.Text {
	if cell := w.cell(id); cell != nil {
		return cell.text
	}
	return nil
}

// Results returns the results of a cell in the order of its statements, as
// they stood when Evaluate last looked at them.
func (w *Working) Results(id string) []Result {
	cell := w.cell(id)
	if cell == nil {
		return nil
	}
	results := make([]Result, len(cell.items))
	for i, it := range cell.items {
		results[i] = it.shown()
	}
	return results
}

// Rows returns how many results a cell has.
func (w *Working) Rows(id string) int {
	cell := w.cell(id)
	if cell == nil {
		return 0
	}
	return len(cell.items)
}

// statementWork is what one statement may cost.
func (w *Working) statementWork() int64 {
	if w.limits.Work > 0 {
		return w.limits.Work
	}
	return program.DefaultWork
}

// wholeTimes is how many times the limit of one statement the working as a
// whole may cost: room for several slow statements, not for hundreds.
const wholeTimes = 10

// Evaluate brings every result up to date and calls emit for each statement
// that was looked at again, each after what it needs, and those in error last.
// When ctx ends it stops early with ctx's error; what was not reached is evaluated
// next time.
func (w *Working) Evaluate(ctx context.Context, emit func(Result)) error {
	return w.evaluate(ctx, emit, func(it *item) (reached bool, err error) { return true, w.refresh(ctx, it) })
}

// evaluate is Evaluate with another way to refresh an item, which may leave it for
// the next time.
func (w *Working) evaluate(ctx context.Context, emit func(Result), refresh func(*item) (reached bool, err error)) error {
	w.work, w.held = 0, 0
	w.round++
	w.GiveWay(ctx)
	changed := w.unsure // a line that is gone may have waited for another
	if err := w.checkAll(ctx); err != nil {
		return err
	}
	order := w.quickFirst()
	for _, it := range order {
		if err := ctx.Err(); err != nil {
			return err
		}
		if it.dirty || w.outdated(it) || w.held > mostHeld && it.result.size() > 0 {
			w.step(checkWork)
			reached, err := refresh(it)
			if err != nil {
				return err
			}
			if !reached {
				w.held += it.result.size()
				continue
			}
			it.unsent, changed = true, true
		} else if it.cell.edited {
			it.unsent, changed = true, true
		}
		w.held += it.result.size()
		if it.unsent && !it.result.Failed() && len(it.blamed) == 0 {
			it.annotation = annotation{} // it waits for nothing any more
			w.emit(it, emit)
		}
	}
	if changed {
		w.putMessages()
	}
	for _, it := range order {
		if it.unsent {
			w.emit(it, emit)
		}
	}
	for _, c := range w.cells {
		c.edited = false
	}
	return nil
}

// quickFirst returns the items after what they need; those that took so long that
// they were cut off, with what needs them, after all others, so that an edit does
// not wait for them again.
func (w *Working) quickFirst() []*item {
	quick := make([]*item, 0, len(w.order))
	var slow []*item
	isSlow := map[*item]bool{}
	for _, n := range w.order {
		it := w.items[n]
		if it.cut || len(slow) > 0 && w.anyNeeded(it, func(d *item) bool { return isSlow[d] }) {
			isSlow[it] = true
			slow = append(slow, it)
			continue
		}
		quick = append(quick, it)
	}
	return append(quick, slow...)
}

func (w *Working) emit(it *item, emit func(Result)) {
	it.unsent, it.emittedIn = false, w.round
	if emit != nil {
		emit(it.shown())
		w.step(showWork)
	}
}

// checkAll checks what has to be checked again, each item after what it needs, and
// finds what is to blame for the errors.
func (w *Working) checkAll(ctx context.Context) error {
	for _, n := range w.order {
		if err := ctx.Err(); err != nil {
			return err
		}
		if it := w.items[n]; w.mustCheck(it) {
			w.step(checkWork)
			w.clock++
			w.check(it)
			it.dirty, w.unsure = true, true
			for _, other := range it.train {
				other.dirty = true // what is found here is said there too
			}
		}
	}
	if w.unsure {
		w.findCauses()
		w.unsure = false
	}
	return nil
}

// outdated reports whether something the item needs has changed since it was
// evaluated.
func (w *Working) outdated(it *item) bool {
	return w.anyNeeded(it, func(d *item) bool { return d.valueRev > it.evaluatedAt })
}

func (w *Working) anyNeeded(it *item, is func(*item) bool) bool {
	return w.anyOf(it.needed(), is)
}

func (w *Working) anyOf(names []string, is func(*item) bool) bool {
	return slices.ContainsFunc(names, func(ident string) bool {
		d := w.definers[ident]
		return len(d) > 0 && is(d[0])
	})
}
