package pdf

import (
	"math"
	"slices"
	"strconv"

	"quiltwright/internal/scene"
)

// content is the stream of a page in the making: the operators that are in use, as bytes. It remembers the colours, pen and font that
// are set, and sets them again only where they change.
type content struct {
	b     []byte
	set   state
	saved []state
}

// state is what operators set and q and Q save and restore. The zero value is nothing known.
type state struct {
	fill, stroke scene.Color
	width        float64
	round, known bool // of the pen: known once it has been set
	dash         []float64
	font         scene.Font
	size         float64
}

// number writes a number with up to three decimals and a space.
func (c *content) number(v float64) {
	n := int64(math.Round(v * 1000))
	if n < 0 {
		c.b = append(c.b, '-')
		n = -n
	}
	c.b = strconv.AppendInt(c.b, n/1000, 10)
	if d := n % 1000; d > 0 {
		c.b = append(c.b, '.', byte('0'+d/100))
		if d %= 100; d > 0 {
			c.b = append(c.b, byte('0'+d/10))
			if d %= 10; d > 0 {
				c.b = append(c.b, byte('0'+d))
			}
		}
	}
	c.b = append(c.b, ' ')
}

// do writes numbers and the operator that they belong to.
func (c *content) do(op string, vs ...float64) {
	for _, v := range vs {
		c.number(v)
	}
	c.b = append(append(c.b, op...), '\n')
}

func (c *content) save() {
	c.saved = append(c.saved, c.set)
	c.do("q")
}

func (c *content) restore() {
	c.set = c.saved[len(c.saved)-1]
	c.saved = c.saved[:len(c.saved)-1]
	c.do("Q")
}

func (c *content) color(op string, k scene.Color) {
	c.do(op, float64(k.R)/255, float64(k.G)/255, float64(k.B)/255)
}

func (c *content) fill(k scene.Color) {
	if k != c.set.fill {
		c.set.fill = k
		c.color("rg", k)
	}
}

// pen sets colour, width, ends and dashes of lines; lengths in points of the page.
func (c *content) pen(k scene.Color, width float64, round bool, dash []float64) {
	s := &c.set
	if k != s.stroke {
		s.stroke = k
		c.color("RG", k)
	}
	if !s.known || width != s.width {
		s.width = width
		c.do("w", width)
	}
	if !s.known || round != s.round {
		s.round = round
		style := 0.0
		if round {
			style = 1
		}
		c.do("J", style)
		c.do("j", style)
	}
	if !s.known || !slices.Equal(dash, s.dash) {
		s.dash = dash
		c.b = append(c.b, '[')
		for _, d := range dash {
			c.number(d)
		}
		c.b = append(c.b, ']')
		c.do("d", 0)
	}
	s.known = true
}

func (c *content) typeface(f scene.Font, size float64) {
	if s := &c.set; f != s.font || size != s.size {
		s.font, s.size = f, size
		c.b = append(append(append(c.b, '/'), fontNames[f]...), ' ')
		c.do("Tf", size)
	}
}

// show writes glyphs with the kerning between them.
func (c *content) show(gs []scene.Glyph) {
	const hex = "0123456789ABCDEF"
	c.b = append(c.b, "[<"...)
	for i, g := range gs {
		c.b = append(c.b, hex[g.ID>>12], hex[g.ID>>8&15], hex[g.ID>>4&15], hex[g.ID&15])
		if g.Advance != g.Plain && i+1 < len(gs) {
			c.b = append(c.b, '>')
			c.b = strconv.AppendInt(c.b, int64(g.Plain-g.Advance), 10)
			c.b = append(c.b, '<')
		}
	}
	c.b = append(c.b, ">]"...)
	c.do("TJ")
}
