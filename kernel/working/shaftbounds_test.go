package working_test

import (
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// manyShafts multiplies the 200 random shafts of TestShaftBounds.
var manyShafts = flag.Int("shafts", 1, "how many times 200 random shafts to compare with their bounds")

// tenths draws a decimal with one place, as text.
func tenths(low, high int) *rapid.Generator[string] {
	return rapid.Map(rapid.IntRange(10*low, 10*high), func(v int) string {
		return fmt.Sprintf("%d.%d", v/10, v%10)
	})
}

// drawPieceLine draws one piece of a shaft cell and its length in tenths of a mm.
// It calls jump with the places, from the start of the piece, of the edges of a
// slot.
func drawPieceLine(t *rapid.T, jump func(x int)) (string, int) {
	length := rapid.IntRange(600, 9000).Draw(t, "length")
	mm := fmt.Sprintf("%d.%d mm", length/10, length%10)
	d := func(name string) string { return tenths(25, 70).Draw(t, name) + " mm" }
	switch rapid.SampledFrom([]string{"solid", "taper", "hollow", "slot", "smooth", "measured", "measured", "square"}).Draw(t, "kind") {
	case "taper":
		return fmt.Sprintf("solid %s to %s for %s", d("d0"), d("d1"), mm), length
	case "hollow":
		return fmt.Sprintf("hollow %s bore %s mm for %s", d("d0"), tenths(5, 20).Draw(t, "bore"), mm), length
	case "slot":
		from := rapid.IntRange(100, length-200).Draw(t, "from")
		to := from + rapid.IntRange(3, min(200, length-from)).Draw(t, "slot")
		thick := d("d0")
		jump(from)
		jump(to)
		return fmt.Sprintf("profile (if x < %d.%d mm then %s else if x < %d.%d mm then %s mm else %s) for %s",
			from/10, from%10, thick, to/10, to%10, tenths(18, 24).Draw(t, "groove"), thick, mm), length
	case "smooth":
		at := rapid.IntRange(0, length).Draw(t, "at")
		return fmt.Sprintf("profile %s·(1 − 0.3·exp(−((x − %d.%d mm)/(%s mm))^2)) for %s", d("d0"), at/10, at%10, tenths(2, 30).Draw(t, "half"), mm), length
	case "measured":
		// Stations lie a millimetre or more apart: between closer ones the diameter may
		// be so steep that the rounding of a place alone is more than the bounds that
		// are asked for here.
		places := map[int]bool{}
		for range rapid.IntRange(0, 4).Draw(t, "inner") {
			places[10*rapid.IntRange(1, length/10-1).Draw(t, "station")] = true
		}
		var list []string
		for x := 0; x <= length; x++ {
			if x == 0 || x == length || places[x] {
				list = append(list, fmt.Sprintf("%d.%d mm: %s", x/10, x%10, d("measured")))
			}
		}
		return "measured " + strings.Join(list, ", "), length
	case "square":
		return fmt.Sprintf("square %s for %s", d("side"), mm), length
	}
	return fmt.Sprintf("solid %s for %s", d("d0"), mm), length
}

// boundsCell is the text of a shaft cell and what to ask of it.
type boundsCell struct {
	text   string
	length int // in tenths of a mm
	places []string
	holds  []string
	load   float64 // the largest point torque, N·m
	spread bool    // a distributed torque acts, so the energy is an estimate
}

func drawBoundsCell(t *rapid.T) boundsCell {
	c := boundsCell{text: "G = 79 GPa"}
	jumps, last := map[int]bool{}, 0 // edges of pieces and slots; the last of a slot
	add := func(format string, args ...any) { c.text += "\n" + fmt.Sprintf(format, args...) }
	for range rapid.IntRange(1, 4).Draw(t, "pieces") {
		line, length := drawPieceLine(t, func(x int) { jumps[c.length+x], last = true, c.length+x })
		add("%s", line)
		c.length += length
		jumps[c.length] = true
	}
	slotAtEnd := last == c.length
	place := func(name string) string {
		x := rapid.IntRange(0, c.length).Draw(t, name)
		return fmt.Sprintf("%d.%d mm", x/10, x%10)
	}
	end := fmt.Sprintf("%d.%d mm", c.length/10, c.length%10)
	c.holds = []string{"0 mm"}
	if rapid.Bool().Draw(t, "second hold") {
		c.holds = append(c.holds, end)
	}
	for _, x := range c.holds {
		if rapid.IntRange(0, 2).Draw(t, "spring") == 0 {
			add("hold at %s stiffness %s kN·m/rad", x, tenths(1, 900).Draw(t, "stiffness"))
		} else {
			add("hold at %s", x)
		}
	}
	for range rapid.IntRange(1, 3).Draw(t, "torques") {
		v := rapid.IntRange(10, 9000).Draw(t, "torque")
		c.load = max(c.load, float64(v)/10)
		add("torque %s%d.%d N·m at %s", rapid.SampledFrom([]string{"", "−"}).Draw(t, "sign"), v/10, v%10, place("load"))
	}
	if rapid.IntRange(0, 2).Draw(t, "spread") == 0 {
		a, b := rapid.IntRange(0, c.length-1).Draw(t, "from"), 0
		b = rapid.IntRange(a+1, c.length).Draw(t, "to")
		c.spread = true
		add("torque %s N·m/m from %d.%d mm to %d.%d mm", tenths(1, 900).Draw(t, "rate"), a/10, a%10, b/10, b%10)
	}
	c.places = []string{"0 mm"}
	for range 3 {
		x := rapid.IntRange(0, c.length).Draw(t, "x")
		if x == c.length && slotAtEnd {
			continue
		}
		if jumps[x] && x < c.length {
			// At an edge the diameter may be either, since the place of the edge is
			// rounded: 0.05 mm beyond.
			c.places = append(c.places, fmt.Sprintf("%d.%d5 mm", x/10, x%10))
			continue
		}
		c.places = append(c.places, fmt.Sprintf("%d.%d mm", x/10, x%10))
	}
	if !slotAtEnd {
		c.places = append(c.places, end)
	}
	return c
}

// an asked value of a shaft, with the unit that ± 0 takes, and the kind of value
// whose largest size scales what rounding may cost.
type asked struct{ expr, unit, kind string }

func (c boundsCell) asks() []asked {
	all := []asked{{"S.twist", "rad", "twist"}, {"S.stiffness", "N·m/rad", "stiffness"}}
	if !c.spread {
		all = append(all, asked{"S.energy", "J", "energy"})
	}
	for _, x := range c.places {
		all = append(all, asked{"S.twist(" + x + ")", "rad", "twist"}, asked{"S.torque(" + x + ")", "N·m", "torque"},
			asked{"S.stress(" + x + ")", "Pa", "stress"}, asked{"S.rate(" + x + ")", "rad/m", "rate"},
			asked{"S.J(" + x + ")", "m⁴", "J"})
	}
	for _, x := range c.holds {
		all = append(all, asked{"S.reaction(" + x + ")", "N·m", "torque"})
	}
	return all
}

// boundsCount counts what was compared.
type boundsCount struct{ shafts, values, outside, wide int }

// compareBounds compares each value of a shaft with its bounds: the value lies
// in them but for its own rounding, and they are no farther apart than a share
// narrow of the largest of its kind.
func compareBounds(t interface {
	Helper()
	Fatalf(string, ...any)
	Errorf(string, ...any)
}, w *working.Working, c boundsCell, narrow, rounding float64, n *boundsCount) {
	t.Helper()
	asks := c.asks()
	results := w.Results("a")
	for _, r := range append(w.Results("S"), results...) {
		if d := r.Diagnostics.FirstError(); d != nil {
			t.Fatalf("%s\n%s", c.text, d.Render())
		}
	}
	scale := map[string]float64{}
	for i, a := range asks {
		scale[a.kind] = max(scale[a.kind], math.Abs(results[2*i].Value.Number))
	}
	// A place may have next to none of the load; the whole shaft sets the scale.
	scale["torque"] = max(scale["torque"], c.load)
	torque, j, compliance := scale["torque"], scale["J"], 1/scale["stiffness"]
	length := float64(c.length) / 1e4
	scale["twist"] = max(scale["twist"], torque*compliance)
	scale["rate"] = max(scale["rate"], torque*compliance/length)
	scale["stress"] = max(scale["stress"], torque*math.Pow(2*j/math.Pi, 0.25)/j)
	scale["energy"] = max(scale["energy"], torque*torque*compliance/2)
	n.shafts++
	for i, a := range asks {
		v, b := results[2*i].Value.Number, results[2*i+1].Value
		n.values++
		if v < b.Low || v > b.High {
			n.outside++
		}
		slack := float64(rounding * scale[a.kind])
		if v < b.Low-slack || v > b.High+slack {
			t.Errorf("%s\n%s is %.17g, its bounds are %.17g and %.17g", c.text, a.expr, v, b.Low, b.High)
		}
		if b.High-b.Low > narrow*scale[a.kind] {
			n.wide++
			t.Errorf("%s\n%s: bounds %.17g and %.17g are %.2g of the largest apart", c.text, a.expr, b.Low, b.High, (b.High-b.Low)/scale[a.kind])
		}
	}
	for _, r := range results[2*len(asks):] {
		// A twist that is 0 but for rounding may lie that much beside its bracket.
		if !r.Verdict.Holds && math.Abs(results[0].Value.Number) > float64(rounding*scale["twist"]) {
			t.Errorf("%s\n%s: %s", c.text, r.Plain(), r.Verdict.Margin)
		}
	}
}

// roundingShare is what rounding may cost a value, as a share of the largest of
// its kind; gearRounding the same where a gear may stand next to a hold: the stub
// between them is a ten-thousandth of the flexibility from which it is told apart.
const (
	roundingShare = 1e-11
	gearRounding  = 1e-9
)

func (c boundsCell) lines() string {
	var b strings.Builder
	for _, a := range c.asks() {
		fmt.Fprintf(&b, "%s\n%s ± 0 %s\n", a.expr, a.expr, a.unit)
	}
	return b.String() + "expect S.twist within S.bracket(1)\nexpect S.twist within S.bracket(100)"
}

// drawGears draws a pair of held shafts of random pieces, joined at random places.
func drawGears(t *rapid.T) (a, b boundsCell) {
	a, b = drawBoundsCell(t), drawBoundsCell(t)
	place := func(c boundsCell) string {
		x := rapid.IntRange(0, c.length).Draw(t, "gear")
		return fmt.Sprintf("%d.%d mm", x/10, x%10)
	}
	teeth := rapid.IntRange(12, 80)
	a.text += fmt.Sprintf("\ngear %d teeth at %s drives B %d teeth at %s", teeth.Draw(t, "teeth"), place(a), teeth.Draw(t, "teeth"), place(b))
	return a, b
}

// TestGearBounds: the same of shafts joined by gears. A gear a tenth of a
// millimetre from a hold hardly turns, and the torque of the gears is then known
// to fewer figures. Where both gears are held fast there is no answer.
func TestGearBounds(t *testing.T) {
	var n boundsCount
	for range *manyShafts {
		rapid.Check(t, func(drawn *rapid.T) {
			a, b := drawGears(drawn)
			cells := []working.Cell{
				{ID: "S", Kind: working.Shaft, Name: "S", Text: source.NewText("S", a.text)},
				{ID: "B", Kind: working.Shaft, Name: "B", Text: source.NewText("B", b.text)},
				calcCell("a", a.lines()),
			}
			w := newWorking(t, cells...)
			if d := w.Results("S")[0].Diagnostics.FirstError(); d != nil && strings.Contains(d.Message, "right at their gears") {
				return
			}
			compareBounds(drawn, w, a, 1e-6, gearRounding, &n)
		})
	}
	t.Logf("%d shafts, %d values, %d outside their bounds by rounding alone, %d wide", n.shafts, n.values, n.outside, n.wide)
}

// TestShaftBounds: of random shafts every value lies within its bounds, which
// are narrow, and S.bracket holds the twist.
func TestShaftBounds(t *testing.T) {
	var n boundsCount
	for range 2 * *manyShafts {
		rapid.Check(t, func(drawn *rapid.T) {
			c := drawBoundsCell(drawn)
			w := newWorking(t, calcCell("a", c.lines()), working.Cell{ID: "S", Kind: working.Shaft, Name: "S", Text: source.NewText("S", c.text)})
			compareBounds(drawn, w, c, 1e-9, roundingShare, &n)
		})
	}
	t.Logf("%d shafts, %d values, %d outside their bounds by rounding alone, %d wide", n.shafts, n.values, n.outside, n.wide)
}

// TestGrooveBetweenPoints: a groove of 0.3 mm that lies between two points of the
// rule is seen although the bounds of its panel are a little wide.
func TestGrooveBetweenPoints(t *testing.T) {
	c := boundsCell{length: 8450, load: 1, text: `G = 79 GPa
profile (if x < 602.7 mm then 40.9 mm else if x < 603.0 mm then 18.0 mm else 40.9 mm) for 622.7 mm
solid 25.0 mm for 222.3 mm
hold at 0 mm
torque 1.0 N·m at 602.6 mm`}
	w := newWorking(t, calcCell("a", c.lines()), working.Cell{ID: "S", Kind: working.Shaft, Name: "S", Text: source.NewText("S", c.text)})
	var n boundsCount
	compareBounds(t, w, c, 1e-9, roundingShare, &n)
}
