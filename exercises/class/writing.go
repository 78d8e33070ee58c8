package class

import (
	"crypto/sha256"
	"encoding/hex"
	"time"
)

// What a store keeps of lessons that are written on the server, at most. The pages state
// each limit.
const (
	MostLessonText    = 256 << 10 // bytes of a draft
	MostDrafts        = 50        // of one person
	MostPublished     = 100       // earlier texts of one lesson; the oldest gives way
	MostDraftVersions = 10        // of one person and lesson: drafts that another window replaced
)

// A Draft is a lesson while a person writes it. It is seen by nobody else.
type Draft struct {
	Person, Lesson string // Lesson is the slug
	Text           string

	// Base is the text of the lesson's file from which the draft was begun; it is empty
	// and OnFile false where there was no file.
	Base   string
	OnFile bool

	Revision  int64  // grows by one with each change, from 1; the store sets it
	Writer    string // names the window that wrote this revision; may be empty
	ChangedAt time.Time
}

// VersionReason is why a text of a lesson is kept.
type VersionReason string

// The reasons.
const (
	VersionPublished VersionReason = "published" // a person put it into the lesson's file
	VersionFound     VersionReason = "found"     // it was in the file, and nobody of the server had put it there
	VersionDraft     VersionReason = "draft"     // of a draft: another window replaced it
)

// A LessonVersion is an earlier text of a lesson.
type LessonVersion struct {
	Lesson string
	Number int64  // counts the versions of a lesson from 1; the store sets it
	Person string // who wrote it; empty for one that was found
	Reason VersionReason
	Text   string
	At     time.Time
}

// An Image is an image beside a lesson.
type Image struct {
	Name    string // of the file
	Content []byte
}

// HashFrozen names a text with its images: as HashText where it has none.
func HashFrozen(text string, images []Image) string {
	if len(images) == 0 {
		return HashText(text)
	}
	sum := sha256.New()
	sum.Write([]byte(HashText(text)))
	for _, i := range images {
		one := sha256.Sum256(i.Content)
		sum.Write([]byte("\n" + i.Name + " " + hex.EncodeToString(one[:])))
	}
	return hex.EncodeToString(sum.Sum(nil))
}
