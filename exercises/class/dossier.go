package class

import "shaftbook/exercises/store"

// A Dossier holds everything that is kept about one person.
type Dossier struct {
	Person      Person
	Members     []Member
	Extensions  []Extension
	Overrides   []Override
	Attempts    []store.Attempt
	Regraded    []store.Attempt
	Predictions []store.Prediction
	Hints       []store.Hint
	Practice    []store.Practice
	Workings    map[string]store.Working // by the lesson's name
	Pages       []store.Page             // with their texts, also those that were deleted
	// PageVersions are the earlier texts of pages, by the page's ID.
	PageVersions map[string][]store.PageVersion
	Shares       []store.Share // links to pages, also those that have ended
	Shown        []ShownPage   // pages shown to instructors
	PageNotes    []PageNote    // what instructors answered
	Entries      []Entry       // of the log, about the person
	Drafts       []Draft       `json:",omitempty"` // of lessons, with their texts
	// LessonVersions are the texts of lessons that the person wrote.
	LessonVersions []LessonVersion `json:",omitempty"`
}
