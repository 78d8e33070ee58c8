package request

import (
	"testing"

	"shaftbook/web/app/attempt"
)

func TestEveryReasonHasAStatus(t *testing.T) {
	for _, reason := range attempt.Reasons {
		if statusOf[reason] < 400 {
			t.Errorf("%s has the status %d", reason, statusOf[reason])
		}
	}
	if len(statusOf) != len(attempt.Reasons) {
		t.Errorf("%d statuses for %d reasons", len(statusOf), len(attempt.Reasons))
	}
}
