package cut

import (
	"errors"
	"fmt"
	"math"

	"quiltwright/internal/guillotine"
	"quiltwright/internal/plan"
)

// blank is a line of what is laid on one cloth: equal rectangles, width across the cloth and height along it as they lie unturned.
type blank struct {
	label  string
	w, h   float64
	months []int // how many in each month
	turn   bool  // may lie a quarter turn round
	turned bool  // lies turned, as the cutting list names its sides
}

func (b *blank) count() int {
	n := 0
	for _, m := range b.months {
		n += m
	}
	return n
}

// bench lays blanks out: all lengths are whole numbers of step there.
type bench struct {
	step   float64
	effort guillotine.Effort
}

func (b bench) grid(x float64) int64 { return int64(math.Ceil(x/b.step - 1e-6)) }

func (b bench) length(n int64) float64 { return float64(n) * b.step }

func (b bench) items(blanks []blank) []guillotine.Item {
	items := make([]guillotine.Item, len(blanks))
	for i, k := range blanks {
		items[i] = guillotine.Item{W: b.grid(k.w), H: b.grid(k.h), Count: k.count(), Turn: k.turn}
	}
	return items
}

// lay lays blanks across a bolt of the given usable width and fills in the fabric's length, bound, layout and strips.
func (b bench) lay(f *plan.Fabric, blanks []blank) error {
	width := int64(math.Floor(float64(f.Width)/b.step + 1e-6))
	l, err := guillotine.Lay(guillotine.Problem{Width: width, Items: b.items(blanks), Stages: 2, Effort: b.effort})
	if err != nil {
		return b.explain(err, f, blanks)
	}
	hands := newHands(blanks)
	f.Length, f.Bound, f.Optimal = plan.Num(b.length(l.Length)), plan.Num(b.length(l.Bound)), l.Optimal
	f.Rules = "two stages, turning"
	for _, s := range l.Strips {
		for range s.Count {
			node := b.strip(s, float64(f.Width), hands, false)
			f.Layout = append(f.Layout, plan.Stock{Stock: "bolt", Cut: "across", At: plan.Num(b.length(s.Height)), First: &node})
		}
		f.Strips = append(f.Strips, b.read(s, float64(f.Width), hands, "width"))
	}
	return nil
}

// sheets lays blanks on sheets of one size.
func (b bench) sheets(f *plan.Fabric, w, h float64, blanks []blank) error {
	l, err := guillotine.LaySheets(guillotine.SheetProblem{Width: int64(math.Floor(w/b.step + 1e-6)), Length: int64(math.Floor(h/b.step + 1e-6)), Items: b.items(blanks), Effort: b.effort})
	if err != nil {
		return b.explain(err, f, blanks)
	}
	hands := newHands(blanks)
	f.Width, f.Sheets = plan.Num(w), l.Count
	f.Optimal, f.Rules = true, fmt.Sprintf("two stages, turning; at least %d sheets", l.Bound)
	for _, s := range l.Sheets {
		for n := range s.Count {
			first := plan.Node{Cut: "across", Width: plan.Num(w), Height: plan.Num(h)}
			if s.Along {
				first.Cut = "along"
			}
			used := 0.0
			for _, t := range s.Strips {
				for range t.Count {
					node := b.strip(t, map[bool]float64{false: w, true: h}[s.Along], hands, s.Along)
					first.Parts = append(first.Parts, node)
					used += b.length(t.Height)
				}
				if n == 0 {
					r := b.read(t, map[bool]float64{false: w, true: h}[s.Along], hands, map[bool]string{false: "width", true: "length"}[s.Along])
					r.Count *= s.Count
					f.Strips = append(f.Strips, r)
				}
			}
			if rest := map[bool]float64{false: h, true: w}[s.Along] - used; rest > 1e-6 {
				left := [2]plan.Num{plan.Num(w), plan.Num(rest)}
				if s.Along {
					left = [2]plan.Num{plan.Num(rest), plan.Num(h)}
				}
				first.Parts = append(first.Parts, plan.Node{Width: left[0], Height: left[1], Left: &left})
			}
			f.Layout = append(f.Layout, plan.Stock{Stock: "sheet", Cut: first.Cut, At: plan.Num(h), First: &first})
		}
	}
	return nil
}

// explain names the piece that does not fit.
func (b bench) explain(err error, f *plan.Fabric, blanks []blank) error {
	var wide *guillotine.TooWide
	if errors.As(err, &wide) {
		return &TooWide{Label: blanks[wide.Item].label, W: blanks[wide.Item].w, H: blanks[wide.Item].h, Width: float64(f.Width), Fabric: f.Letter}
	}
	return err
}

// TooWide says that a piece fits across its cloth neither way.
type TooWide struct {
	Label, Fabric string
	W, H, Width   float64
}

func (e *TooWide) Error() string {
	return fmt.Sprintf("piece %s, %g by %g, does not fit across fabric %s, which is %g wide", e.Label, e.W, e.H, e.Fabric, e.Width)
}

// hands gives out blanks of a kind month by month, earliest first, as the layout comes to them.
type hands struct {
	blanks []blank
	given  []int
}

func newHands(blanks []blank) *hands { return &hands{blanks: blanks, given: make([]int, len(blanks))} }

func (h *hands) month(item int) int {
	n := h.given[item]
	h.given[item]++
	for m, k := range h.blanks[item].months {
		if n < k {
			return m + 1
		}
		n -= k
	}
	panic("cut: the layout gives out more blanks than there are")
}

// strip is one strip as a node: cut into segments, a blank lower than the strip trimmed. standing strips run along the cloth.
func (b bench) strip(s guillotine.Strip, length float64, h *hands, standing bool) plan.Node {
	high := b.length(s.Height)
	node := func(along, across float64) plan.Node {
		if standing {
			return plan.Node{Width: plan.Num(across), Height: plan.Num(along)}
		}
		return plan.Node{Width: plan.Num(along), Height: plan.Num(across)}
	}
	cutTo := map[bool]string{false: "along", true: "across"}
	out := node(length, high)
	out.Cut = cutTo[standing]
	used := 0.0
	left := func(n plan.Node) plan.Node {
		n.Left = &[2]plan.Num{n.Width, n.Height}
		return n
	}
	for _, c := range s.Cuts {
		p := c.Parts[0]
		k := h.blanks[p.Item]
		for range c.Count {
			w, t := k.w, k.h
			if p.Turned {
				w, t = t, w
			}
			w = b.length(c.Width)
			used += w
			piece := node(w, math.Min(t, high))
			piece.Piece, piece.Month, piece.Turned = k.label, h.month(p.Item), (p.Turned != k.turned) != standing
			if high-t > 1e-6 {
				whole := node(w, high)
				whole.Cut = cutTo[!standing]
				whole.Parts = []plan.Node{piece, left(node(w, high-t))}
				piece = whole
			}
			out.Parts = append(out.Parts, piece)
		}
	}
	if rest := length - used; rest > 1e-6 {
		out.Parts = append(out.Parts, left(node(rest, high)))
	}
	if len(out.Parts) == 1 && out.Parts[0].Piece != "" {
		return out.Parts[0]
	}
	return out
}

// read is a group of equal strips as a person cuts them.
func (b bench) read(s guillotine.Strip, length float64, h *hands, along string) plan.Strip {
	out := plan.Strip{Along: along, Height: plan.Num(b.length(s.Height)), Length: plan.Num(length), Count: s.Count}
	used := 0.0
	for _, c := range s.Cuts {
		p := c.Parts[0]
		k := h.blanks[p.Item]
		w := b.length(c.Width)
		turned := (p.Turned != k.turned) != (along == "length")
		used += w * float64(c.Count)
		if n := len(out.Cuts); n > 0 && out.Cuts[n-1].Label == k.label && out.Cuts[n-1].Turned == turned && out.Cuts[n-1].Width == plan.Num(w) {
			out.Cuts[n-1].Count += c.Count
			continue
		}
		out.Cuts = append(out.Cuts, plan.Cuts{Label: k.label, Count: c.Count, Turned: turned, Width: plan.Num(w)})
	}
	out.Left = plan.Num(math.Max(0, length-used))
	return out
}
