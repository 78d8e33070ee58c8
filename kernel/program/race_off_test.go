//go:build !race

package program

const underRace = false
