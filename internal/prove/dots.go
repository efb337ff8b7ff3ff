package prove

import (
	"maps"
	"math"
	"slices"

	"quiltwright/internal/flat"
	"quiltwright/internal/plan"
)

// stitching is a seam by the raw edge as the recipe means it, in the unit's frame, and the parts of the unit that it holds together with all that
// was sewn to them before.
type stitching struct {
	op   int
	line [2]pt
	held []int
}

// sewnSeams follows the parts of the unit through the works of the recipe.
func (f *fitting) sewnSeams() []stitching {
	in := map[int]int{} // the work of each part of the unit
	begins := map[int][]int{}
	for i := range f.sheets {
		if s := &f.sheets[i]; !slices.Contains(begins[s.Part], s.part) {
			begins[s.Part] = append(begins[s.Part], s.part)
			in[s.part] = s.Part
		}
	}
	var out []stitching
	n := 0
	for i, op := range f.r.Do {
		switch op.Op {
		case "lay":
			for part, work := range in {
				if work == op.Part {
					in[part] = op.Work
				}
			}
		case "stitch":
			if q, ok := f.seams[n]; ok && op.Allowance != 0 {
				s := stitching{op: i, line: [2]pt{flat.Apply(f.m, q.Meant[0]), flat.Apply(f.m, q.Meant[1])}}
				for part, work := range in {
					if work == op.Work {
						s.held = append(s.held, part)
					}
				}
				out = append(out, s)
			}
			n++
		}
	}
	return out
}

// dots checks where the needle stops at a dot and where it goes on to the raw edge. About the end of a seam, what it holds together may take
// a straight angle at most, so that a seam can cross there or the edge of the unit run; where it takes more, the allowances have to part, and
// stitches beyond the crossing of the seams would hold them. A seam that another one goes on from may only pause.
func (f *fitting) dots() {
	plain := !slices.ContainsFunc(f.r.Do, func(op plan.Op) bool { return op.Fold }) && !inward(f.u.outline)
	if !f.panels || plain {
		// What never brings two edges together and turns nowhere inward was only ever sewn from edge to edge.
		for i, op := range f.r.Do {
			if !f.expect(len(op.Dots) == 0) {
				f.fault("dots", f.u.ID, "", "", "operation %d of recipe %s stops at a dot, where nothing is set in", i, f.r.ID)
				return
			}
		}
		return
	}
	all := f.sewnSeams()
	for i, s := range all {
		said := f.r.Do[s.op].Dots
		if !f.expect(len(said) <= 2 && !slices.ContainsFunc(said, func(e int) bool { return e < 0 || e > 1 }) && (len(said) < 2 || said[0] != said[1])) {
			f.fault("dots", f.u.ID, "", "", "operation %d of recipe %s stops at the ends %v of its seam", s.op, f.r.ID, said)
			continue
		}
		for e, end := range s.line {
			pauses := slices.ContainsFunc(all, func(o stitching) bool { return f.goesOn(s.line, e, o.line) })
			angle := f.angleHeld(all[:i+1], end)
			stops := slices.Contains(said, e)
			switch must := !pauses && angle > math.Pi+0.01; {
			case !f.expect(!must || stops):
				f.fault("dots", f.u.ID, "", "", "operation %d of recipe %s sews on to the raw edge at %s of unit %s, where something is set in", s.op, f.r.ID, f.prover.point(end), f.u.ID)
			case !f.expect(must || !stops):
				f.fault("dots", f.u.ID, "", "", "operation %d of recipe %s stops at a dot at %s of unit %s, where nothing is set in", s.op, f.r.ID, f.prover.point(end), f.u.ID)
			}
		}
	}
}

// angleHeld is the angle that takes about a point, with what the seams so far hold together there: the last of them, and those that share a part
// with it about the point.
func (f *fitting) angleHeld(seams []stitching, at pt) float64 {
	last := len(seams) - 1
	angles := map[int]float64{}
	for _, part := range seams[last].held {
		p := f.u.parts[part]
		if a := angleAt(flat.Posed(f.units[p.unit].outline, p.pose), at, f.near); a > 0 {
			angles[part] = a
		}
	}
	var pairs [][]int // of parts, each on the two sides of a seam that comes to the point
	for _, s := range seams {
		run := flat.Distance(s.line[0], s.line[1])
		d := flat.Direction(s.line[0], s.line[1])
		t := flat.Dot(flat.Sub(at, s.line[0]), d)
		if math.Abs(flat.Cross(d, flat.Sub(at, s.line[0]))) > f.near || t < -f.near || t > run+f.near {
			continue
		}
		for _, way := range []float64{-1, 1} {
			step := math.Min(f.seam/2, run/4)
			if t+way*step < 0 || t+way*step > run {
				continue
			}
			var pair []int
			for _, part := range slices.Sorted(maps.Keys(angles)) {
				p := f.u.parts[part]
				if a := angleAt(flat.Posed(f.units[p.unit].outline, p.pose), flat.Add(at, flat.Scale(d, way*step)), f.near); a > 0 {
					pair = append(pair, part)
				}
			}
			pairs = append(pairs, pair)
		}
	}
	held := map[int]bool{}
	if len(pairs) == 0 {
		return 0
	}
	for _, part := range pairs[len(pairs)-1] {
		held[part] = true
	}
	for grown := true; grown; {
		grown = false
		for _, pair := range pairs {
			some := slices.ContainsFunc(pair, func(k int) bool { return held[k] })
			for _, part := range pair {
				if some && !held[part] {
					held[part], grown = true, true
				}
			}
		}
	}
	sum := 0.0
	for _, part := range slices.Sorted(maps.Keys(held)) {
		sum += angles[part]
	}
	return sum
}

// inward reports whether a clockwise outline turns inward somewhere.
func inward(outline []pt) bool {
	n := len(outline)
	for i, c := range outline {
		if flat.Cross(flat.Direction(outline[(i+n-1)%n], c), flat.Direction(c, outline[(i+1)%n])) < -0.01 {
			return true
		}
	}
	return false
}

// goesOn reports whether another seam goes straight on from end e of a seam.
func (f *fitting) goesOn(s [2]pt, e int, o [2]pt) bool {
	d := flat.Direction(s[1-e], s[e])
	for k, p := range o {
		if v := flat.Direction(p, o[1-k]); flat.Distance(p, s[e]) <= f.near && math.Abs(flat.Cross(d, v)) < 0.01 && flat.Dot(d, v) > 0 {
			return true
		}
	}
	return false
}

// angleAt is the angle that a clockwise outline takes about a point on it; 0 elsewhere.
func angleAt(outline []pt, p pt, near float64) float64 {
	n := len(outline)
	for i, c := range outline {
		if flat.Distance(c, p) <= near {
			back, on := flat.Sub(outline[(i+n-1)%n], c), flat.Sub(outline[(i+1)%n], c)
			a := math.Atan2(flat.Cross(on, back), flat.Dot(on, back)) // from the way on round to the way back, the cloth between
			if a < 0 {
				a += 2 * math.Pi
			}
			return a
		}
	}
	for i, a := range outline {
		b := outline[(i+1)%n]
		d := flat.Direction(a, b)
		if t := flat.Dot(flat.Sub(p, a), d); math.Abs(flat.Cross(d, flat.Sub(p, a))) <= near && t > 0 && t < flat.Distance(a, b) {
			return math.Pi
		}
	}
	return 0
}
