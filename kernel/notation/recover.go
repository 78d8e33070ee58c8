package notation

// joinLines decides which line ends also end a statement, and drops the
// others. A line goes on in the next while a bracket or a bar is open or when
// it ends in an operator or a comma, unless the next line plainly opens a
// statement: then the line before is unfinished, and the statement after it
// can still be read.
func joinLines(toks []token, m mode) []token {
	out := toks[:0]
	brackets := make([]kind, 0, 8) // open brackets and |
	for i := 0; i < len(toks); i++ {
		t := toks[i]
		previous := token{kind: tEnd}
		if len(out) > 0 {
			previous = out[len(out)-1]
		}
		switch t.kind {
		case tOpen, tOpenBrace, tOpenSquare:
			brackets = append(brackets, tOpen)
		case tClose, tCloseBrace, tCloseSquare:
			brackets = closeBracket(brackets)
		case tBar:
			if n := len(brackets); n > 0 && brackets[n-1] == tBar && previous.endsOperand() {
				brackets = brackets[:n-1]
			} else {
				brackets = append(brackets, tBar)
			}
		case tNewline:
			if previous.kind == tEnd {
				continue // an empty line
			}
			last := i == len(toks)-1
			goesOn := !last && previous.kind != tReason && (len(brackets) > 0 || needsMore(previous))
			if goesOn && (joinsWords(previous) || !opensStatement(toks[i+1:], m)) {
				continue
			}
			brackets = brackets[:0]
			t.kind, t.start, t.end, t.text = tEnd, previous.end, previous.end, ""
		}
		out = append(out, t)
	}
	return out
}

// closeBracket drops the innermost open bracket with the bars inside it.
func closeBracket(brackets []kind) []kind {
	for n := len(brackets) - 1; n >= 0; n-- {
		if brackets[n] == tOpen {
			return brackets[:n]
		}
	}
	return brackets
}

// needsMore reports whether a line that ends in t is unfinished.
func needsMore(t token) bool {
	switch t.kind {
	case tOp, tComma, tColon, tPlusMin, tArrow, tRoot, tCubeRoot, tSumSign, tIntSign, tSub:
		return true
	}
	return joinsWords(t)
}

// joinsWords reports whether t is an operator in letters. What follows it is a
// condition, which may well begin "b = ".
func joinsWords(t token) bool {
	return t.kind == tWord && (t.text == "and" || t.text == "or" || t.text == "not")
}

// opensStatement reports whether the line that starts with toks opens a
// statement of its own.
func opensStatement(toks []token, m mode) bool {
	for len(toks) > 0 && toks[0].kind == tNewline {
		toks = toks[1:]
	}
	if len(toks) < 2 {
		return false
	}
	switch m {
	case shaftMode:
		isSign := toks[1].isOp(OpSub) && toks[1].space
		if toks[0].kind == tName && shaftWords[toks[0].text] && (toks[1].kind != tOp || isSign) {
			return true
		}
	case deriveMode:
		if toks[0].isOp(OpEqual) || toks[0].isWord("given") || (names{}).leadLength(toks) > 0 {
			return true
		}
	case calcMode:
		if toks[0].kind == tWord && statementWords[toks[0].text] {
			return true
		}
	}
	if toks[0].kind != tName {
		return false
	}
	return toks[definitionHead(toks)].isOp(OpEqual)
}

// definitionHead returns the index of the token after "name" or "name(…)".
func definitionHead(toks []token) int {
	if toks[1].kind != tOpen {
		return 1
	}
	depth := 0
	for i, t := range toks {
		switch t.kind {
		case tOpen:
			depth++
		case tClose:
			if depth--; depth == 0 && i+1 < len(toks) {
				return i + 1
			}
		case tNewline, tEnd:
			return i
		}
	}
	return len(toks) - 1
}
