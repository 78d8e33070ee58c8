package check_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

func TestSpeeds(t *testing.T) {
	for text, want := range map[string]unit.Speed{
		"n = 1450 rpm":                           unit.Turning,
		"n = 1450 r/min":                         unit.Turning,
		"n = 24 rev/s":                           unit.Turning,
		"n = 3 rad/s":                            unit.Turning,
		"n = 90 deg/s":                           unit.Turning,
		"n = 24 Hz":                              unit.Cycling,
		"n = 24 s^-1":                            unit.Cycling,
		"n = 1450 min^-1":                        unit.Cycling,
		"n = 1450 min⁻¹":                         unit.Cycling,
		"n = 3 m/s/(2 m)":                        unit.AnySpeed,
		"n = 36/54·(1450 rpm)":                   unit.Turning,
		"n = 2·π·(24 Hz)":                        unit.Turning,
		"f = 24 Hz\nn = f·(1 rev)":               unit.Turning,
		"n = 1450 rpm\nf = n/(2·π)":              unit.Cycling,
		"n = 1450 rpm\nf = n/(1 rev)":            unit.Cycling,
		"n = 3 m/s/(2 m) in rpm":                 unit.Turning,
		"g(u) = 2·u\nn = g(24 Hz)":               unit.Cycling,
		"n = |−(3 rpm)| + 2 rad/s":               unit.Turning,
		"n = largest of x for x from 0 to 2 rpm": unit.Turning,
	} {
		info, list := read(t, text)
		if list.HasErrors() || info.Type.Speed != want {
			t.Errorf("%q: speed %v, want %v, %v", text, info.Type.Speed, want, list.Err())
		}
	}
}

// Turns and cycles differ by 2π, and their dimensions do not show it.
func TestTurnsAndCyclesDoNotMix(t *testing.T) {
	for _, text := range []string{
		"a = 5 rpm + 3 Hz",
		"a = 3 s^-1 − 5 rad/s",
		"a = max(5 rpm, 3 Hz)",
		"a = between 5 rpm and 3 Hz",
		"a = if 1 < 2 then 5 rpm else 3 Hz",
		"expect 5 rpm < 3 Hz",
		"expect 5 rpm ≈ 3 Hz within 1 %",
		"a = 30 rpm in Hz",
		"a = 30 Hz in rpm",
	} {
		_, list := read(t, text)
		if d := list.FirstError(); d == nil || d.Code != check.CodeTurns || d.Repair == "" {
			t.Errorf("%q: %v", text, list)
		}
	}
	for _, text := range []string{
		"a = 5 rpm + 3 rad/s", "a = 3 Hz + 5 min^-1", "a = 5 rpm + 2·π·(3 Hz)", "a = 5 rpm/(2·π) + 3 Hz", "expect 30 rpm > 0",
		"a = 30 rpm in rad/s", "a = 30 Hz in 1/s", "a = 5 rpm + 3 m/s/(2 m)",
	} {
		if _, list := read(t, text); list.HasErrors() {
			t.Errorf("%q: %v", text, list.Err())
		}
	}
}

func TestPowerOverTurnsTwice(t *testing.T) {
	const data = "P = 12 kW\nn = 1450 rpm\nf = 24 Hz\nω = 2·π·n\n"
	for text, want := range map[string]bool{
		"T = P/(2·π·n)":    true,
		"T = P/2/π/n":      true,
		"T = P/ω":          true,
		"T = 60·P/(2·π·n)": true,
		"T = P/n":          false,
		"T = P/(2·π·f)":    false,
		"T = π·(2 m)/n":    false,
	} {
		_, list := read(t, data+text)
		noted := false
		for _, d := range list {
			noted = noted || d.Code == check.CodeTurns && d.Severity == source.Note
		}
		if list.HasErrors() || noted != want {
			t.Errorf("%q: noted %v, want %v: %v", text, noted, want, list)
		}
	}
}

// A frequency as the speed of a power is refused with both readings.
func TestSpeedOfAPower(t *testing.T) {
	for speed, repair := range map[string][]string{
		"1450 rpm":       nil,
		"151.8 rad/s":    nil,
		"1450 r/min":     nil,
		"(2·π·(24 Hz))":  nil,
		"1450 min^-1":    {"1450 rpm", "1450 rad/min"},
		"24.17 Hz":       {"24.17 rev/s", "24.17 rad/s"},
		"24.17 s⁻¹":      {"24.17 rev/s", "24.17 rad/s"},
		"(24 Hz + 1 Hz)": {"2·π·", "1 rad"},
	} {
		text := source.NewText("", "power 12 kW at "+speed+" at 1 m\n")
		cell, list := notation.ParseShaft(text)
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		_, found := check.New(lesson{}).Shaft(cell)
		d := found.FirstError()
		if repair == nil {
			if d != nil {
				t.Errorf("%s: %v", speed, d)
			}
			continue
		}
		if d == nil || d.Code != check.CodeTurns {
			t.Errorf("%s: %v", speed, d)
			continue
		}
		for _, r := range repair {
			if !strings.Contains(d.Repair, r) {
				t.Errorf("%s: the repair %q does not offer %s", speed, d.Repair, r)
			}
		}
	}
}
