package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// A verdictCase is a derivation with the true verdict on its last line.
type verdictCase struct {
	name, text string
	want       derive.Kind
}

func checkLastVerdicts(t *testing.T, cases []verdictCase) {
	t.Helper()
	for _, test := range cases {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			if len(r.Verdicts) == 0 {
				t.Fatal("no verdict")
			}
			if v := r.Verdicts[len(r.Verdicts)-1]; v.Kind != test.want {
				t.Errorf("%s, want %s: %s", v.Kind, test.want, v.Why)
			}
		})
	}
}
