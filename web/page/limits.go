package page

// What a page of a lesson waits for, in the unit of program.Limits.Work: one
// statement of it, and all of them. A statement that costs more comes over the live
// connection.
const (
	WorkOfEach = 200_000_000
	WorkOfAll  = 1_000_000_000
)
