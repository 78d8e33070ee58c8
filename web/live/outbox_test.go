package live

import (
	"strconv"
	"strings"
	"testing"
)

func TestOutboxKeepsTheNewestOfEachKey(t *testing.T) {
	o := newOutbox()
	o.put("row a", 1)
	o.put("row b", 2)
	o.put("row a", 3)
	o.put("done", 4)
	frames, _, closed := o.take()
	if len(frames) != 1 || string(frames[0]) != "[2,3,4]" || closed {
		t.Errorf("took %q (closed: %v), want one frame of 2, 3 and 4", frames, closed)
	}
}

func TestOutboxFramesStaySmall(t *testing.T) {
	o := newOutbox()
	big := strings.Repeat("<p>", frameBytes/4)
	for range 3 {
		o.put("", big)
	}
	o.put("", 1)
	frames, _, _ := o.take()
	if len(frames) != 3 || len(frames[0]) != len(big)+4 || !strings.HasSuffix(string(frames[2]), `",1]`) {
		t.Errorf("%d frames, want one for each big message, with markup as it is and the small message in the last", len(frames))
	}
}

func TestHeldMessagesWaitAndThenLeave(t *testing.T) {
	o := newOutbox()
	o.hold()
	o.put("", 1)
	o.put("", 2)
	select {
	case <-o.ready:
		// so busy a machine that the waiting is over already
	default:
		o.release()
		<-o.ready
	}
	if frames, _, _ := o.take(); len(frames) != 1 || string(frames[0]) != "[1,2]" {
		t.Errorf("took %q, want both in one frame", frames)
	}
	o.hold()
	o.put("", 3)
	<-o.ready // without a release: nothing waits for ever
	if frames, _, _ := o.take(); len(frames) != 1 || string(frames[0]) != "[3]" {
		t.Errorf("took %q, want what was held too long", frames)
	}
}

// A reader that is slow for an hour has no more pending than one that just began to
// be: only what is pending counts, and what was replaced is not kept.
func TestReplacedMessagesDoNotCount(t *testing.T) {
	o := newOutbox()
	o.put("", "first")
	for i := range 10 * queueEntries {
		if !o.put("row "+strconv.Itoa(i%7), i) {
			t.Fatalf("no room for message %d of seven rows", i)
		}
	}
	if len(o.entries) > 2*queueEntries {
		t.Errorf("%d entries are kept for 8 messages", len(o.entries))
	}
	last := 10 * queueEntries
	want := `["first"`
	for i := last - 7; i < last; i++ {
		want += "," + strconv.Itoa(i)
	}
	if frames, _, _ := o.take(); len(frames) != 1 || string(frames[0]) != want+"]" {
		t.Errorf("took %q, want %s]", frames, want)
	}
}

func TestOutboxIsBounded(t *testing.T) {
	o := newOutbox()
	for i := range queueEntries {
		if !o.put(strconv.Itoa(i), i) {
			t.Fatalf("no room for entry %d", i)
		}
	}
	if o.put("one more", 0) {
		t.Error("there is room above the bound")
	}
}
