package page

// A ClassFrame is what the pages of one class share: the frame, the name of the
// class and the way to its other pages.
type ClassFrame struct {
	Frame
	Class   string // name
	ClassID string
	Term    string
	Here    string // one of the labels of Ways: the page itself, or what it belongs to
	Said    string // what was done just now, or empty
}

// A ClassWay is a link to one of the pages of a class.
type ClassWay struct {
	Label, Path string
	Current     bool
}

// Ways are the links that stand on every page of a class.
func (f ClassFrame) Ways() []ClassWay {
	base := "/class/" + f.ClassID
	ways := []ClassWay{
		{"Overview", base, false},
		{"Roster", base + "/roster", false},
		{"Assignments", base + "/assign", false},
		{"Marks", base + "/marks", false},
		{"Question analysis", base + "/items", false},
		{"Log", base + "/log", false},
	}
	for i := range ways {
		ways[i].Current = ways[i].Label == f.Here
	}
	return ways
}
