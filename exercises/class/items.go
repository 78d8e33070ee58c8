package class

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"

	"gonum.org/v1/gonum/stat"
)

// An Item holds the results of a class at one part of one exercise, with graded
// numbers.
// Points are what marking gave, before anything comes off for tries or days:
// those tell about the student's week and not about the question.
type Item struct {
	Exercise, Part string

	Answered   int     // students with a try
	FirstRight int     // of them, whose first try was right
	Low, High  float64 // Wilson's interval of the share FirstRight/Answered, at 95 %
	Share      float64 // mean over Answered of points ÷ what the part gives
	Tries      float64 // median over Answered
	Hinted     int     // students who had a hint shown, with a try or without

	// Discrimination is the corrected item-total correlation, over all who have
	// a try anywhere in the assignment; a part without an answer is 0 there.
	Discrimination float64
	Discriminates  bool // there are enough students: see Discrimination

	Slips []Count // of students by the slips they ever made, the most first
	Last  []Count // of students by the verdict of their last try, the most first
}

// A Count is the number of students of whom something holds.
type Count struct {
	Name  string
	Count int
}

// ItemsOf gathers the items of an assignment from everybody's attempts and hints
// in it. set holds what each student was given, by person; work of others is
// passed over. The items come in the order of exercises and parts in which set
// first names them, by person.
func ItemsOf(set map[string][]Worth, attempts []store.Attempt, hints []store.Hint) []Item {
	type name struct{ exercise, part string }
	full := map[name]map[string]float64{} // points by person
	var order []name
	people := make([]string, 0, len(set))
	for p := range set {
		people = append(people, p)
	}
	slices.Sort(people)
	for _, p := range people {
		for _, w := range set[p] {
			for _, part := range w.Parts {
				n := name{w.Exercise, part.Part}
				if full[n] == nil {
					full[n] = map[string]float64{}
					order = append(order, n)
				}
				full[n][p] = part.Points
			}
		}
	}
	tries := map[name]map[string][]store.Attempt{}
	began := map[string]bool{}
	for _, a := range attempts {
		n := name{a.Exercise, a.Part}
		if _, given := full[n][a.Learner]; !given || a.Series != 0 || a.Free {
			continue
		}
		if tries[n] == nil {
			tries[n] = map[string][]store.Attempt{}
		}
		tries[n][a.Learner] = append(tries[n][a.Learner], a)
		began[a.Learner] = true
	}
	people = slices.DeleteFunc(people, func(p string) bool { return !began[p] })
	shares := make([][]float64, len(order))
	for i, n := range order {
		shares[i] = make([]float64, len(people))
		for j, p := range people {
			best := 0.0
			for _, a := range tries[n][p] {
				best = max(best, within(a.Points, full[n][p]))
			}
			if full[n][p] > 0 {
				shares[i][j] = best / full[n][p]
			}
		}
	}
	items := make([]Item, len(order))
	for i, n := range order {
		items[i] = itemOf(tries[n])
		it := &items[i]
		it.Exercise, it.Part = n.exercise, n.part
		hinted := map[string]bool{}
		for _, h := range hints {
			if _, given := full[n][h.Learner]; given && h.Series == 0 && h.Exercise == n.exercise && h.Part == n.part {
				hinted[h.Learner] = true
			}
		}
		it.Hinted = len(hinted)
		sum, rest := 0.0, make([]float64, len(people))
		for j, p := range people {
			if len(tries[n][p]) > 0 {
				sum += shares[i][j]
			}
			for k := range order {
				if k != i {
					rest[j] += shares[k][j]
				}
			}
		}
		if it.Answered > 0 {
			it.Share = sum / float64(it.Answered)
		}
		it.Discrimination, it.Discriminates = Discrimination(shares[i], rest)
	}
	return items
}

// itemOf counts what needs no other item. tries are those of each person.
func itemOf(tries map[string][]store.Attempt) Item {
	it := Item{Answered: len(tries)}
	slips, last, counts := map[string]int{}, map[string]int{}, []float64{}
	for _, list := range tries {
		slices.SortFunc(list, func(a, b store.Attempt) int { return cmp.Compare(a.Number, b.Number) })
		if list[0].Verdict == string(marking.Right) {
			it.FirstRight++
		}
		counts = append(counts, float64(len(list)))
		last[list[len(list)-1].Verdict]++
		once := map[string]bool{}
		for _, a := range list {
			if a.Slip != "" && !once[a.Slip] {
				once[a.Slip] = true
				slips[a.Slip]++
			}
		}
	}
	it.Low, it.High = Wilson(it.FirstRight, it.Answered)
	it.Tries = median(counts)
	it.Slips, it.Last = ranked(slips), ranked(last)
	return it
}

func ranked(by map[string]int) []Count {
	var list []Count
	for name, n := range by {
		list = append(list, Count{name, n})
	}
	slices.SortFunc(list, func(a, b Count) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), strings.Compare(a.Name, b.Name))
	})
	return list
}

// median is the middle value, or the mean of the two in the middle; 0 of none.
func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// Wilson returns the score interval of a share of k in n, at 95 %: the shares
// from which k lies less than 1.96 standard deviations away. For n = 0 it is
// all from 0 to 1.
//
// Source: E. B. Wilson, Probable inference, the law of succession, and
// statistical inference, J. Am. Stat. Assoc. 22 (1927) 209–212.
func Wilson(k, n int) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	const z = 1.959963984540054 // the 97.5 % point of the normal distribution
	m := float64(n)
	p := float64(k) / m
	middle := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return max(0, middle-half), min(1, middle+half)
}

// LeastForDiscrimination is how many students a correlation is said of. Of fewer
// it means next to nothing (common practice, no source).
const LeastForDiscrimination = 10

// Discrimination is the corrected item-total correlation: Pearson's correlation
// of an item with the sum of the other items, by student. It is near 1 where
// those who do well elsewhere do well here, near 0 where the item has nothing to
// do with the rest. ok is false with fewer than 10 students, or where all have
// the same in one of the two.
func Discrimination(item, rest []float64) (r float64, ok bool) {
	if len(item) != len(rest) || len(item) < LeastForDiscrimination ||
		slices.Min(item) == slices.Max(item) || slices.Min(rest) == slices.Max(rest) {
		return 0, false
	}
	r = stat.Correlation(item, rest, nil)
	return r, !math.IsNaN(r)
}
