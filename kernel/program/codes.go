package program

import "shaftbook/kernel/source"

// The codes of what can go wrong while evaluating. The comment beside each is
// the smallest text that raises it.
const (
	CodeDivisionByZero source.Code = "division-by-zero"    // 1/0
	CodeDomain         source.Code = "outside-domain"      // sqrt(-1)
	CodeOverflow       source.Code = "too-large"           // 1e200*1e200
	CodeBounds         source.Code = "whole-bounds"        // sum of i for i from 1 to 2.5
	CodeUncertain      source.Code = "uncertain"           // x = root of …; x ± 1 mm, where the root is an estimate
	CodeCancellation   source.Code = "digits-lost"         // (1 + 1e-13/3) − 1
	CodeTooSmall       source.Code = "too-small"           // 1e-200*1e-200
	CodeTermLimit      source.Code = "too-many-terms"      // sum of i for i from 1 to 10^12
	CodeWorkLimit      source.Code = "too-much-work"       // sum of (sum of sin(i·j) for j from 1 to 10^4) for i from 1 to 10^4
	CodeMemoryLimit    source.Code = "too-much-memory"     // a calculation beyond Limits.Memory
	CodeSizeLimit      source.Code = "too-deep"            // functions nested beyond measure
	CodeStopped        source.Code = "stopped"             // the context was cancelled
	CodeIntegral       source.Code = "integral-refused"    // integral of 1/x for x from 0 to 1
	CodeRoot           source.Code = "no-root"             // root of x^2 + 1 for x from 0 to 1
	CodeExtreme        source.Code = "no-extreme"          // largest of 1/x for x from 0 to 1
	CodeDerivative     source.Code = "no-derivative"       // derivative of abs(x) for x at 0
	CodeField          source.Code = "shaft-field"         // S.twist(−1 m)
	CodeUndecided      source.Code = "bracket-undecided"   // if (1 ± 1) < 1 then 1 else 2
	CodeBracketUse     source.Code = "bracket-not-allowed" // root of x − (1 ± 0.1) for x from 0 to 2
	CodeUnknown        source.Code = "unknown-here"        // a name, form or function that cannot be evaluated
)
