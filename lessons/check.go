package lessons

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"shaftbook/exercises"
	"shaftbook/kernel/source"
)

// CodeExpect: a plausibility check of the lesson does not hold with the values
// the lesson starts with.
const CodeExpect source.Code = "expect-fails"

// Check evaluates the cells of a lesson as a reader first sees them and returns
// what an author should mend: statements in error, checks that do not hold,
// sliders with an end at which a line fails, numbers in the prose that no cell bears out
// or that differ from the name beside them, quantities that repeat a named one,
// guesses that are answered already, covered results in formulas, steps of derivations that do not
// follow, and exercises that do not work for every set of numbers.
// What is wrong in the writing itself, Parse and Load have said. Of a cell with many
// errors it returns the first three and how many there are, unless all are asked
// for.
func Check(ctx context.Context, l *Lesson, all bool) (source.List, error) {
	lists, err := CheckAll(ctx, []*Lesson{l}, all, nil)
	if err != nil {
		return nil, err
	}
	return lists[0], nil
}

// CheckBehind is Check on one processor, so that it can give way to others where ctx says
// so.
func CheckBehind(ctx context.Context, l *Lesson, all bool) (list source.List, err error) {
	for _, task := range l.checkTasks(all) {
		found, err := task(ctx)
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return nil, err
		}
		list = append(list, found...)
	}
	return list, nil
}

// CheckAll is Check for several lessons, which it works at side by side: the lists are in
// the order of the lessons, and do not depend on how many processors there are. With
// progress it is told after each lesson how many are done. The error is ctx's.
func CheckAll(ctx context.Context, list []*Lesson, all bool, progress func(done int)) ([]source.List, error) {
	var tasks []checkTask
	left := make([]atomic.Int64, len(list)) // tasks of each lesson
	for i, l := range list {
		for _, run := range l.checkTasks(all) {
			tasks = append(tasks, checkTask{lesson: i, run: run})
			left[i].Add(1)
		}
	}
	var next atomic.Int64
	var done counter
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(tasks)) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(tasks) && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				t := &tasks[i]
				t.found, t.err = t.run(ctx)
				if left[t.lesson].Add(-1) == 0 {
					done.add(progress)
				}
			}
		})
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	lists := make([]source.List, len(list))
	for _, t := range tasks {
		if t.err != nil {
			return nil, t.err
		}
		lists[t.lesson] = append(lists[t.lesson], t.found...)
	}
	return lists, nil
}

// A checkTask is a part of what is checked of a lesson, which needs no other part.
type checkTask struct {
	lesson int
	run    func(context.Context) (source.List, error)
	found  source.List
	err    error
}

// A counter counts one by one, and says so in the order of the counts.
type counter struct {
	lock sync.Mutex
	n    int
}

func (c *counter) add(said func(int)) {
	c.lock.Lock()
	defer c.lock.Unlock()
	c.n++
	if said != nil {
		said(c.n)
	}
}

// checkTasks lists what is to be done for Check, in the order of its findings.
func (l *Lesson) checkTasks(all bool) []func(context.Context) (source.List, error) {
	tasks := []func(context.Context) (source.List, error){
		func(ctx context.Context) (source.List, error) { return l.checkWorking(ctx, all) },
	}
	for _, c := range l.CellsOf(Derive) {
		tasks = append(tasks, func(ctx context.Context) (source.List, error) { return checkDerivation(ctx, c), ctx.Err() })
	}
	for _, c := range l.CellsOf(Exercise) {
		tasks = append(tasks, func(ctx context.Context) (source.List, error) { return checkExercise(ctx, c) })
	}
	return tasks
}

// checkWorking checks the cells that are one working, and the text around them.
func (l *Lesson) checkWorking(ctx context.Context, all bool) (source.List, error) {
	w := l.workingWithGuesses()
	if err := w.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	var list source.List
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			list = append(list, r.Said(all)...)
			if r.Verdict != nil && !r.Verdict.Holds {
				list.Addf(r.Span, CodeExpect, "this check does not hold in the lesson as it stands: %s", r.Verdict.Margin).
					Repair = "correct the working or the check"
			}
		}
	}
	list = append(list, l.checkProse(w)...)
	list = append(list, l.checkRepeats(w)...)
	list = append(list, l.checkGuesses(w)...)
	list = append(list, l.checkFormulas(w)...)
	list = append(list, l.checkQuotes(w, list)...)
	ends, err := l.checkSliders(ctx, w) // last, since it changes the working
	return append(list, ends...), err
}

func checkExercise(ctx context.Context, c Cell) (source.List, error) {
	e, list := exercises.Parse(c.Name, c.Text)
	if list.HasErrors() {
		return list, nil
	}
	proof, err := exercises.Prove(ctx, e)
	return append(list, proof.Problems...), err
}
