//go:build !amd64 || purego

package program

const useAVX2 = false

func addTo(dst []float64, a, b vec)                         { addGeneric(dst, a, b) }
func subTo(dst []float64, a, b vec)                         { subGeneric(dst, a, b) }
func mulTo(dst []float64, a, b vec)                         { mulGeneric(dst, a, b) }
func divTo(dst []float64, a, b vec) bool                    { return divGeneric(dst, a, b) }
func sqrtTo(dst []float64, a vec)                           { sqrtGeneric(dst, a) }
func mulAddTo(dst, a []float64, m, c float64)               { mulAddGeneric(dst, a, m, c) }
func quarticTo(dst, a []float64, m float64)                 { quarticGeneric(dst, a, m) }
func recipTo(dst []float64, c, m float64, a []float64) bool { return recipGeneric(dst, c, m, a) }
func sumLanes(acc *[laneGroup]float64, x []float64)         { sumGeneric(acc, x) }

func scaledTo(dst []float64, n int, start, m float64) {
	scaledGeneric(dst[:n], start, m)
	pad(dst, n)
}

func linearTo(dst []float64, n int, start, m, k, c float64) {
	linearGeneric(dst, start, m, k, c)
	pad(dst, n)
}
