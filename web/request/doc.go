// Package request holds what the handlers of all pages need to answer one
// request: the visitor who sent it, forms, refusals and faults, and how a page,
// a file or a redirect is sent. A handler starts at VisitorFrom and ends with a
// method of Site.
package request
