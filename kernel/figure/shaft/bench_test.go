package shaft

import (
	"testing"

	"shaftbook/kernel/figure"
)

func BenchmarkShaftDrawing(b *testing.B) {
	s := layShaft()
	for b.Loop() {
		if _, err := s.SVG(figure.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTwistFrame(b *testing.B) {
	s := twisted()
	for b.Loop() {
		if _, err := s.Frame(figure.Options{}, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}
