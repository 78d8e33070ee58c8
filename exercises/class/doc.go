// Package class defines what a class is: its people and how they join, what is
// assigned to them and on which terms, what their work is worth, and what an
// instructor has changed by hand. It holds types, the rules that need no store,
// and the contract of the store ([Store]). Package sqlstore keeps the contract,
// package storetest tests it on every database.
//
// A person has one account for all classes of a server. What a person does in
// an assignment is kept (package store) under the assignment's own name of
// the lesson, [Key], so that the same lesson read freely, or assigned again next
// year, is other work with other numbers.
package class
