package main

import (
	"strings"
	"testing"
)

func TestReadingsStatement(t *testing.T) {
	tests := []struct{ name, file, want string }{
		{"commas", "T (N·m), θ (deg)\n0, 0.31\n5, 0.88\n", "readings test of T in N·m, θ in deg:\n  0: 0.31,\n  5: 0.88"},
		{"semicolons and decimal commas", "T / N·m;θ / deg\r\n0;0,31\r\n-5;−0,88\r\n", "readings test of T in N·m, θ in deg:\n  0: 0.31,\n  -5: -0.88"},
		{"tabs, a mark of the byte order, empty lines", "\uFEFFT in N·m\tθ in deg\n0\t0.310\n\n1e1\t+1.5\n", "readings test of T in N·m, θ in deg:\n  0: 0.310,\n  1e1: 1.5"},
		{"line ends of old machines, an empty line first", "\r\rT;θ\r1;2,5\r3;4\r", "readings test of T, θ:\n  1: 2.5,\n  3: 4"},
		{"pure numbers", "x,y\n1,2\n", "readings test of x, y:\n  1: 2"},
		{"a slash in a unit", "x (mm),q [deg/(N·m)]\n1,2\n", "readings test of x in mm, q in deg/(N·m):\n  1: 2"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := readingsStatement("test", []byte(tt.file))
			if err != nil || got != tt.want {
				t.Errorf("got %q, %v\nwant %q", got, err, tt.want)
			}
		})
	}
}

func TestReadingsRefused(t *testing.T) {
	tests := []struct{ name, file, want string }{
		{"nothing", "", "there are no readings"},
		{"a head alone", "T (N·m), θ (deg)\n", "there are no readings"},
		{"three columns", "T (N·m), θ (deg)\n1,2,3\n", "line 2 has 3 columns"},
		{"a comma that may part thousands", "T;θ\n1,000;6\n", "line 2: “1,000” may be a whole number of thousands"},
		{"two decimal marks", "T;θ\n1.5;2,5\n", "line 2: “2,5” has another decimal mark"},
		{"too many", "x,y\n" + strings.Repeat("1,2\n", 201), "line 202: there are more than 200 readings"},
		{"no number", "T (N·m), θ (deg)\n1,2\n2,about 3\n", "line 3: “about 3” is not a number"},
		{"infinity", "x,y\n1,Inf\n", "line 2: “Inf” is not a number"},
		{"hexadecimal", "x,y\n1,0x10\n", "line 2: “0x10” is not a number"},
		{"an unknown unit", "T (Nxm),θ (deg)\n1,2\n", "“Nxm” is not a unit known here"},
		{"a name of two words", "torque applied,θ\n1,2\n", "as a statement it cannot be read"},
		{"another encoding", "T (N\xb7m),y\n1,2\n", "not in UTF-8"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := readingsStatement("test", []byte(tt.file)); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %q, %v, want %q", got, err, tt.want)
			}
		})
	}
}
