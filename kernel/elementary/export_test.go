package elementary

// A TableRow is a number of the tables as the sum of its terms, with what it is:
// a function of an exact argument.
type TableRow struct {
	Name  string
	Of    string // the function, as in the test
	X     float64
	Terms []float64
}

// TableRows returns every number of the tables.
func TableRows() []TableRow {
	var rows []TableRow
	add := func(name, of string, x float64, terms ...float64) {
		rows = append(rows, TableRow{name, of, x, terms})
	}
	add("expStep", "ln2", 1.0/128, expStep1, expStep2)
	add("ln2", "ln2", 1, ln2Hi, ln2Lo)
	add("perLn10", "1/ln", 10, perLn10Head, perLn10Rest)
	add("perLn2", "1/ln", 2, perLn2Head, perLn2Rest)
	add("angleStep", "π", 1.0/64, angleStep1, angleStep2, angleStep3)
	add("angleStep", "π", 1.0/64, angleStepHi, angleStepLo)
	add("piHalf", "π", 0.5, piHalf.hi, piHalf.lo)
	add("piOne", "π", 1, piOne.hi, piOne.lo)
	for j := range exp2 {
		x := float64(j) / 128
		add("exp2", "2^", x, exp2[j].near)
		add("exp2", "2^", x, exp2[j].head, exp2[j].rest)
	}
	for j := range logs {
		add("logs", "−ln", logs[j].inv, logs[j].hi, logs[j].lo)
	}
	for j := range sines {
		x := float64(j) / 64
		add("sines", "sin π", x, sines[j].near)
		add("sines", "sin π", x, sines[j].head, sines[j].rest)
	}
	for j := range tans {
		if j%32 == 0 {
			continue
		}
		x := float64(j) / 64
		add("tans", "tan π", x, tans[j].t.head, tans[j].t.rest)
		add("tans", "1+tan² π", x, tans[j].slope.near)
		add("tans", "1+tan² π", x, tans[j].slope.head, tans[j].slope.rest)
	}
	for j := range 65 {
		x := float64(j) / 64
		add("atans", "atan", x, atans[j].value.hi, atans[j].value.lo)
		add("atans", "1/(1+x²)", x, atans[j].slope.head, atans[j].slope.rest)
		x /= 2
		add("asins", "asin", x, asins[j].value.hi, asins[j].value.lo)
		add("asins", "1/√(1−x²)", x, asins[j].slope.head, asins[j].slope.rest)
		for n := range 7 {
			add("atans", "atan series"+string(rune('2'+n)), 2*x, atans[j].more[n])
			add("asins", "asin series"+string(rune('2'+n)), x, asins[j].more[n])
		}
	}
	return rows
}

// Turns returns 1/(2π) as a hexadecimal fraction.
func Turns() []uint64 { return turns[:] }
