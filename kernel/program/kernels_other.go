//go:build !amd64 || purego

package program

func addTo(dst []float64, a, b vec)                 { addGeneric(dst, a, b) }
func subTo(dst []float64, a, b vec)                 { subGeneric(dst, a, b) }
func mulTo(dst []float64, a, b vec)                 { mulGeneric(dst, a, b) }
func divTo(dst []float64, a, b vec) bool            { return divGeneric(dst, a, b) }
func sqrtTo(dst []float64, a vec)                   { sqrtGeneric(dst, a) }
func mulAddTo(dst []float64, a, b, c vec)           { mulAddGeneric(dst, a, b, c) }
func quarticTo(dst []float64, a vec)                { quarticGeneric(dst, a) }
func recipTo(dst []float64, c, b, a vec) bool       { return recipGeneric(dst, c, b, a) }
func sumLanes(acc *[laneGroup]float64, x []float64) { sumGeneric(acc, x) }

func scaledTo(dst []float64, n int, start, m float64) {
	scaledGeneric(dst[:n], start, m)
	pad(dst, n)
}
