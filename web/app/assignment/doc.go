// Package assignment reads and judges what belongs to an assignment: whether a
// lesson's file can be assigned (Files.Candidate), the text that a class was given
// (Lesson) and who may see it (Admit), the form of its terms (ReadForm) and the
// terms for one student (TermsFor). It does not use HTTP.
package assignment
