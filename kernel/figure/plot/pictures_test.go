package plot

import (
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
)

func TestPictures(t *testing.T) {
	figuretest.Test(t, []figuretest.Case{
		{Name: "diameter", Picture: func() figure.Picture { return diameterPlot() }},
		{Name: "twist", Picture: func() figure.Picture { return twistPlot(81) }},
		{Name: "torque", Picture: func() figure.Picture { return torquePlot() }},
		{Name: "orders", Picture: func() figure.Picture { return ordersPlot() }},
		{Name: "convergence", Picture: func() figure.Picture { return convergencePlot() }},
		{Name: "bracket", Picture: func() figure.Picture { return bracketPlot() }},
		{Name: "guesses", Picture: func() figure.Picture { return guesses() }},
		{Name: "answers", Picture: func() figure.Picture { return answers() }},
	})
}
