// Package gradebook says what everybody's work in a class is worth: it reads the
// store, asks attempt.Service what each student was set, and applies the rules of
// package class. It keeps no marks and does not use HTTP.
package gradebook
