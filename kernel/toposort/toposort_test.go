package toposort

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func TestOrder(t *testing.T) {
	tests := []struct {
		name   string
		deps   [][]int
		order  []int
		cycles [][]int
	}{
		{"empty", nil, nil, nil},
		{"independent nodes keep their order", [][]int{nil, nil, nil}, []int{0, 1, 2}, nil},
		{"a later definition comes first", [][]int{{1}, nil}, []int{1, 0}, nil},
		{"a diamond", [][]int{{1, 2}, {3}, {3}, nil}, []int{3, 1, 2, 0}, nil},
		{"a node that needs itself", [][]int{{0}, nil}, []int{1}, [][]int{{0, 0}}},
		{"two nodes in a circle", [][]int{{1}, {0}}, nil, [][]int{{0, 1, 0}}},
		{"what needs a cycle is left out, the cycle is named once", [][]int{{1}, {2}, {1}, nil}, []int{3}, [][]int{{1, 2, 1}}},
		{"dependencies outside are passed over", [][]int{{7, -1}}, []int{0}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			order, cycles := Order(len(test.deps), func(i int) []int { return test.deps[i] })
			if !reflect.DeepEqual(order, test.order) || !reflect.DeepEqual(cycles, test.cycles) {
				t.Errorf("order %v, cycles %v; want %v, %v", order, cycles, test.order, test.cycles)
			}
		})
	}
}

func TestOrderProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 20).Draw(t, "n")
		deps := make([][]int, n)
		for i := range deps {
			deps[i] = rapid.SliceOfN(rapid.IntRange(0, max(n-1, 0)), 0, 3).Draw(t, "deps")
		}
		order, cycles := Order(n, func(i int) []int { return deps[i] })
		at := map[int]int{}
		for k, i := range order {
			at[i] = k
			for _, d := range deps[i] {
				if p, ok := at[d]; !ok || p >= k {
					t.Fatalf("%d stands before %d, which it needs", i, d)
				}
			}
		}
		for _, c := range cycles {
			for k := range len(c) - 1 {
				if !contains(deps[c[k]], c[k+1]) {
					t.Fatalf("cycle %v has no edge %d → %d", c, c[k], c[k+1])
				}
			}
		}
		if len(order) < n && len(cycles) == 0 {
			t.Fatal("nodes left out without a cycle")
		}
	})
}

func contains(list []int, n int) bool {
	for _, x := range list {
		if x == n {
			return true
		}
	}
	return false
}
