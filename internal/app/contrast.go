package app

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
)

// alike is how far apart the lightness of two cloths must be for the eye to part them without colour: of 100, from black to white. Less than a
// tenth of the way is what a photograph in grey does not show.
const alike = 10

// mostCompared is how many edges of patches a quilt may have for its neighbours to be looked at while one waits.
const mostCompared = 400_000

// alikeView is two cloths that lie side by side and are hard to tell apart without their colours.
type alikeView struct {
	Fabrics [2]int          `json:"fabrics"` // in the list of fabrics
	Says    string          `json:"says"`
	Seams   [][2][2]float64 `json:"seams"` // where they meet, in the quilt; of many the first
}

// lightness is CIE L* of a colour "#rrggbb", from 0 for black to 100 for white, and grey a neutral grey that is as light.
// Sources: IEC 61966-2-1 (sRGB) and CIE 15 (L*), white D65.
func lightness(color string) (l float64, grey string) {
	rgb, err := strconv.ParseUint(color[min(1, len(color)):], 16, 32)
	if err != nil || len(color) != 7 {
		return 100, "#ffffff"
	}
	linear := func(shift int) float64 {
		c := float64(rgb>>shift&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	y := 0.2126*linear(16) + 0.7152*linear(8) + 0.0722*linear(0)
	c := 12.92 * y
	if y > 0.0031308 {
		c = 1.055*math.Pow(y, 1/2.4) - 0.055
	}
	l = 903.3 * y
	if y > 0.008856 {
		l = 116*math.Cbrt(y) - 16
	}
	n := int(math.Round(255 * c))
	return l, fmt.Sprintf("#%02x%02x%02x", n, n, n)
}

// edge is the side of a patch, along a line of the quilt.
type edge struct {
	from, to float64 // along the line
	right    bool    // the patch lies to the right of the line's direction
	fabric   int
	a, b     [2]float64
}

// line is a line of the quilt, rounded: its direction and how far it is from the corner.
type line struct{ angle, off int64 }

// alikes are the pairs of cloths that lie side by side in the quilt and are alike in lightness, the least different first.
func alikes(top *topView, names []string, colors []string) []alikeView {
	out := []alikeView{}
	lines := map[line][]edge{}
	count := 0
	add := func(points [][2]float64, fabric int, lies placedView) {
		at := func(i int) [2]float64 {
			x, y := inQuilt(lies, points[i%len(points)][0], points[i%len(points)][1])
			return [2]float64{x, y}
		}
		for i := range points {
			key, e := edgeOf(at(i), at(i+1))
			e.fabric = fabric
			lines[key] = append(lines[key], e)
			count++
		}
	}
	for _, p := range top.Patches {
		add(p.Points, p.Fabric, placedView{})
	}
	for _, p := range top.Placed {
		for _, q := range top.Blocks[p.Block].Patches {
			add(q.Points, q.Fabric, p)
		}
		if count > mostCompared {
			return out
		}
	}
	light := make([]float64, len(colors))
	for i, c := range colors {
		light[i], _ = lightness(c)
	}
	pairs := map[[2]int]*alikeView{}
	for _, key := range slices.SortedFunc(maps.Keys(lines), func(a, b line) int { return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.off, b.off)) }) {
		meet(lines[key], func(a, b *edge, from, to float64) {
			pair := [2]int{min(a.fabric, b.fabric), max(a.fabric, b.fabric)}
			if pair[0] == pair[1] || pair[1] >= len(light) || math.Abs(light[pair[0]]-light[pair[1]]) >= alike {
				return
			}
			v := pairs[pair]
			if v == nil {
				v = &alikeView{Fabrics: pair, Says: names[pair[0]] + " and " + names[pair[1]] + " lie side by side and are alike in lightness: without their colours they run together"}
				pairs[pair] = v
			}
			if len(v.Seams) < 400 {
				v.Seams = append(v.Seams, [2][2]float64{along(a, from), along(a, to)})
			}
		})
	}
	for _, v := range pairs {
		out = append(out, *v)
	}
	far := func(v alikeView) float64 { return math.Abs(light[v.Fabrics[0]] - light[v.Fabrics[1]]) }
	slices.SortFunc(out, func(a, b alikeView) int {
		return cmp.Or(cmp.Compare(far(a), far(b)), slices.Compare(a.Fabrics[:], b.Fabrics[:]))
	})
	return out
}

// edgeOf is the side of a patch that goes from a to b, the patch to its right (clockwise, y down), and the line it lies on.
func edgeOf(a, b [2]float64) (line, edge) {
	right := true
	if dx, dy := b[0]-a[0], b[1]-a[1]; dx < -1e-9 || math.Abs(dx) <= 1e-9 && dy < 0 {
		a, b, right = b, a, false
	}
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	if length == 0 {
		return line{}, edge{}
	}
	dx, dy = dx/length, dy/length
	from := a[0]*dx + a[1]*dy
	// Odd scales, so that lengths on a ruler do not fall between two whole numbers.
	key := line{int64(math.Round(math.Atan2(dy, dx) * 99991.7)), int64(math.Round((a[0]*dy - a[1]*dx) * 997.13))}
	return key, edge{from: from, to: from + length, right: right, a: a, b: b}
}

// along is the point of an edge at a length along its line.
func along(e *edge, at float64) [2]float64 {
	t := (at - e.from) / (e.to - e.from)
	return [2]float64{e.a[0] + t*(e.b[0]-e.a[0]), e.a[1] + t*(e.b[1]-e.a[1])}
}

// meet calls do for every stretch of a line on whose two sides there are patches.
func meet(all []edge, do func(a, b *edge, from, to float64)) {
	slices.SortFunc(all, func(a, b edge) int { return cmp.Compare(a.from, b.from) })
	var sides [2][]*edge
	for i := range all {
		if e := &all[i]; e.right {
			sides[0] = append(sides[0], e)
		} else {
			sides[1] = append(sides[1], e)
		}
	}
	for i, j := 0, 0; i < len(sides[0]) && j < len(sides[1]); {
		a, b := sides[0][i], sides[1][j]
		if from, to := max(a.from, b.from), min(a.to, b.to); to-from > 1e-6 {
			do(a, b, from, to)
		}
		if a.to < b.to {
			i++
		} else {
			j++
		}
	}
}
