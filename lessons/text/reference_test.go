package text_test

import (
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// vocabulary is words of the trade that a reader meets in the lessons and in other
// books, and words of these pages; the glossary has each, by itself or as another word
// for a term.
var vocabulary = strings.Fields(`
	allowable-stress allowable-twist angle-of-twist bracket complementary-shear compliance constraint
	convergence distributed-torque equilibrium fatigue fillet fixed-end flexibility free-body helix
	in-parallel in-series integral internal-torque mean-diameter modulus-of-elasticity plausibility-check
	Poisson’s-ratio polar-moment-of-inertia polar-second-moment-of-area rate-of-twist requirement
	sensitivity shear-modulus modulus-of-rigidity shear-strain shear-stress shoulder slice-theory
	statically-indeterminate stone-spindle strain-energy stress-concentration superposition support
	torque-diagram torsion torsion-constant torsional-rigidity torsional-stiffness warping worst-case
	Young’s-modulus
	ductile dummy-load elastic-core fully-plastic-torque gear-train least-squares median-line open-wall permanent-twist reciprocal-theorem
	residual-stress root-of-the-sum-of-squares shear-flow standard-error tolerance torsional-vibration yield-stress
	lesson cell working segment slip variant prediction verdict mark class roster assignment marks-sheet board-view derivation estimate`)

func TestGlossaryHasTheVocabulary(t *testing.T) {
	var words []string
	for _, term := range shelf(t).Reference.Terms {
		words = append(append(words, term.Word), term.Also...)
	}
	for _, word := range vocabulary {
		if word = strings.ReplaceAll(word, "-", " "); !slices.Contains(words, word) {
			t.Errorf("the glossary has not “%s”", word)
		}
	}
}

// TestTradeWordsAreExplained finds for each term that is not a word of these pages the
// lesson that explains it, and the word itself or another word for it in that lesson.
func TestTradeWordsAreExplained(t *testing.T) {
	ofPages := []string{"assignment", "board view", "cell", "class", "lesson", "mark", "marks sheet", "prediction", "roster", "variant", "verdict", "working"}
	s := shelf(t)
	for _, term := range s.Reference.Terms {
		if len(term.See) == 0 && !slices.Contains(ofPages, term.Word) {
			t.Errorf("“%s” is explained in no lesson", term.Word)
		}
		for _, at := range term.See {
			l, ok := s.Lesson(at.Slug)
			if !ok {
				continue // reported by TestCheck
			}
			text := strings.ToLower(strings.ReplaceAll(strings.Join(strings.Fields(l.Text.Content), " "), "*", ""))
			if !slices.ContainsFunc(append([]string{term.Word}, term.Also...), func(w string) bool { return strings.Contains(text, strings.ToLower(w)) }) {
				t.Errorf("%s explains “%s” and does not say it", at.Slug, term.Word)
			}
		}
	}
}

// TestSymbolsAreOfTheNotation reads every symbol as a name or the use of a function.
func TestSymbolsAreOfTheNotation(t *testing.T) {
	for _, g := range shelf(t).Reference.Groups {
		for _, s := range g.Symbols {
			expr, list := notation.ParseExpr(source.NewText("", s.Written))
			_, isName := expr.(*notation.Name)
			_, isCall := expr.(*notation.Call)
			if list.HasErrors() || !isName && !isCall {
				t.Errorf("%s is not a name", s.Written)
			}
		}
	}
}

// TestPathsLeadEverywhere finds every lesson on a path, and on each path every lesson
// after those that it needs, or a note of its step that names what the path leaves out.
func TestPathsLeadEverywhere(t *testing.T) {
	s := shelf(t)
	on := map[string]bool{}
	for _, p := range s.Reference.Paths {
		before := map[string]bool{}
		for _, step := range p.Steps {
			for _, at := range step.Lessons {
				l, _ := s.Lesson(at.Slug)
				for _, need := range l.Needs {
					if missing, _ := s.Lesson(need); !before[need] && !strings.Contains(step.Note, "“"+missing.Title+"”") {
						t.Errorf("%s: %s needs %s, which neither comes before it nor is named in the note of “%s”", p.Title, at.Slug, need, step.Title)
					}
				}
				before[at.Slug], on[at.Slug] = true, true
			}
		}
	}
	if len(s.Reference.Paths) != 3 {
		t.Errorf("%d paths, want 3", len(s.Reference.Paths))
	}
	for _, l := range s.Lessons {
		if !on[l.Slug] {
			t.Errorf("no path leads to %s", l.Slug)
		}
	}
}
