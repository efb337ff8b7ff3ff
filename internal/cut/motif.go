package cut

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Pieces that are centred on a motif are cut from strips about rows of motifs. Where the first motif stands on a piece of cloth is not known, so a
// repeat more is taken, across and along: however far the motifs lie to the right of where the layout has them, or further down, there
// is cloth for everything. Strips about the same rows would save cloth only with luck, and are not counted on.

// NoMotif says that no motif is sure to stand where a blank about it lies on the cloth.
type NoMotif struct {
	Label         string
	Width, Height float64
	Across        float64
	Along         float64 // 0: as long as may be
}

func (e *NoMotif) Error() string {
	return fmt.Sprintf("%s of %g by %g is not sure to find a motif on cloth %g wide", e.Label, e.Width, e.Height, e.Across)
}

// lattice is how far apart motifs stand, across the cloth and along it; 0: a stripe, which runs on that way.
type lattice [2]float64

// step is the least distance of motifs that is no less than x.
func (m lattice) step(way int, x float64) float64 {
	if m[way] == 0 {
		return x
	}
	return m[way] * math.Max(1, math.Ceil(x/m[way]-1e-9))
}

// centred is a bit as it lies about motifs: turned or not, and where in it the motif stands.
type centred struct {
	slip
	at [2]float64 // from its left edge and its upper edge
}

// after is how far it reaches beyond its motif.
func (c *centred) after(way int) float64 { return [2]float64{c.w, c.h}[way] - c.at[way] }

// lies is how so many of bit i lie on cloth of a size: all of them the way that takes less of it.
func (l *laid) lies(i, count int, size [2]float64, m lattice) centred {
	b := l.bits[i]
	is := centred{slip{bit: i, w: b.w, h: b.h, wide: b.w}, b.motif}
	if !b.turn || math.Abs(b.w-b.h) < sliver {
		return is
	}
	round := centred{slip{bit: i, w: b.h, h: b.w, wide: b.h, turned: true}, [2]float64{b.motif[1], b.motif[0]}}
	long := func(c *centred) float64 {
		free := size[0] - m[0] - c.w
		if free < -sliver || size[1] > 0 && c.h+m[1] > size[1]+sliver {
			return math.Inf(1)
		}
		rows := math.Ceil(float64(count)/(1+math.Floor(free/m.step(0, c.w)+1e-9)) - 1e-9)
		return (rows-1)*m.step(1, c.h) + c.h
	}
	if long(&round) < long(&is)-1e-9 {
		return round
	}
	return is
}

// aboutMotifs cuts what is centred on motifs from a rectangle of cloth, as much as there is room for, and counts it off: strips about rows of motifs, what is
// highest first, each filled up with what is no higher. A length of 0 is as long as it takes. It returns nil where there is nothing
// to cut, or no room.
func (l *laid) aboutMotifs(size [2]float64, m lattice, need []int) *stock {
	var kinds []centred
	for i, b := range l.bits {
		if b.centred && need[i] > 0 {
			kinds = append(kinds, l.lies(i, need[i], size, m))
		}
	}
	slices.SortStableFunc(kinds, func(a, b centred) int { return cmp.Or(cmp.Compare(b.h, a.h), cmp.Compare(b.w, a.w)) })
	st := stock{sheet: &size, motif: true}
	y := 0.0 // how far down what is taken reaches
	below := 0.0
	for {
		var row *band
		for k := range kinds {
			head := &kinds[k]
			top := y
			if len(st.bands) > 0 {
				top += m.step(1, below+head.at[1]) - below - head.at[1]
			}
			if need[head.bit] == 0 || size[1] > 0 && top+head.h+m[1] > size[1]+sliver {
				continue
			}
			if row = l.row(kinds[k:], size[0], m, need); row == nil {
				continue
			}
			if n := len(st.bands); n > 0 {
				st.bands[n-1].gap = top - y
			}
			y, below = top+head.h, head.after(1)
			break
		}
		if row == nil {
			break
		}
		st.bands = append(st.bands, *row)
	}
	if len(st.bands) == 0 {
		return nil
	}
	if size[1] == 0 {
		size[1] = y + m[1]
	}
	return &st
}

// row is a strip about a row of motifs, as high as the first of the kinds; nil where not one of that is sure to have room.
func (l *laid) row(kinds []centred, width float64, m lattice, need []int) *band {
	head := &kinds[0]
	out := band{height: head.h, length: width, pitch: m.step(1, head.h)}
	x := 0.0
	var last *centred
	for k := range kinds {
		c := &kinds[k]
		if c.at[1] > head.at[1]+sliver || c.after(1) > head.after(1)+sliver {
			continue
		}
		for need[c.bit] > 0 {
			gap := 0.0
			if last != nil {
				gap = m.step(0, last.after(0)+c.at[0]) - last.after(0) - c.at[0]
			}
			if x+gap+c.w+m[0] > width+sliver {
				break
			}
			if last != nil {
				out.slips[len(out.slips)-1].gap = gap
			}
			s := c.slip
			s.drop = head.at[1] - c.at[1]
			s.gap = m.step(0, c.w) - c.w // to the next of its kind; there is room, for a repeat is free
			out.slips = append(out.slips, s)
			x += gap + c.w
			last = c
			need[c.bit]--
		}
		if last == nil {
			return nil
		}
	}
	return &out
}

// motifLength is the least length, by the same rules, of what is centred on motifs and cut off the bolt: no kind alone takes more.
func (l *laid) motifLength(width float64, m lattice, need []int) float64 {
	least := 0.0
	for i, b := range l.bits {
		if !b.centred || need[i] == 0 {
			continue
		}
		one := make([]int, len(need))
		one[i] = need[i]
		if st := l.aboutMotifs([2]float64{width, 0}, m, one); st != nil {
			least = math.Max(least, st.sheet[1])
		}
	}
	return least
}

// noMotif is the error for what of a cloth's bits could not be laid about motifs; nil where all is laid.
func (l *laid) noMotif(c Cloth, need []int) error {
	for i, b := range l.bits {
		if b.centred && need[i] > 0 {
			e := &NoMotif{Label: b.label, Width: b.w, Height: b.h, Across: c.Width}
			if c.inSheets() {
				e.Across, e.Along = c.Sheet[0], c.Sheet[1]
			}
			return e
		}
	}
	return nil
}

// motifs is how much of the length is taken for where the first row of motifs stands.
func (l *laid) motifs(m lattice) float64 {
	sum := 0.0
	for i := range l.stocks {
		if s := &l.stocks[i]; s.motif && s.bolt {
			sum += m[1]
		}
	}
	return sum
}
