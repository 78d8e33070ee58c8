package class

import (
	"encoding/json"
	"slices"
)

// Export returns everything that is kept about a person as JSON, for the person or
// an instructor the person asks. What opens an account is not part of it.
func (d Dossier) Export() ([]byte, error) {
	d.Person.Password, d.Person.Feed = "", ""
	// A list without entries is [], not null, to a reader of the file.
	d.Members, d.Extensions, d.Overrides = listed(d.Members), listed(d.Extensions), listed(d.Overrides)
	d.Attempts, d.Regraded = listed(d.Attempts), listed(d.Regraded)
	d.Predictions, d.Hints, d.Entries = listed(d.Predictions), listed(d.Hints), listed(d.Entries)
	d.Pages, d.Practice = listed(d.Pages), listed(d.Practice)
	d.Shares, d.Shown, d.PageNotes = listed(d.Shares), listed(d.Shown), listed(d.PageNotes)
	d.Shares = slices.Clone(d.Shares)
	for i := range d.Shares {
		d.Shares[i].Hash = ""
	}
	return json.MarshalIndent(d, "", "  ")
}

func listed[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// FullName is the name of a class with its term, for a person who may be in several
// of the same name.
func (c Class) FullName() string {
	if c.Term == "" {
		return c.Name
	}
	return c.Name + ", " + c.Term
}
