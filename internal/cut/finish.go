package cut

import (
	"math"

	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/quilt"
)

// rulesOf are the document's rules for cutting.
func rulesOf(doc *quilt.Document) Rules {
	r := Rules{Unit: doc.Measure, Ruler: doc.Ruler.Float(), Seam: doc.Seam.Float(), Squaring: doc.Make.Squaring.Float(), Miscut: doc.Make.MiscutStrip,
		Shrink: doc.Shrink.Float(), Diagonal: doc.Make.LongStrips == "diagonal"}
	if !r.Miscut {
		r.MiscutBy = doc.Make.Miscut.Float()
	}
	return r
}

// Finish is binding, backing and batting for a top of the given finished size; what the document does not name is absent.
func Finish(doc *quilt.Document, width, height float64) plan.Finish {
	r := rulesOf(doc)
	var out plan.Finish
	if b := doc.Finish.Binding; b != nil {
		cloth := 0.0
		for _, f := range doc.Fabrics {
			if f.Letter == b.Fabric {
				c := clothOf(doc, f)
				cloth = math.Max(c.Width, math.Max(c.Sheet[0], c.Sheet[1]))
				if c.inSheets() {
					cloth = math.Max(c.Sheet[0], c.Sheet[1])
				}
			}
		}
		if cloth > 0 {
			got := binding(r, width, height, b.Strip.Float(), cloth, b.Cut == "bias")
			got.Fabric = b.Fabric
			out.Binding = &got
		}
	}
	if b := doc.Finish.Backing; b != nil {
		got := backing(r, width, height, b.Width.Float(), b.Overhang.Float())
		got.Name = b.Name
		out.Backing = &got
	}
	if b := doc.Finish.Batting; b != nil {
		o := b.Overhang.Float()
		out.Batting = &plan.Batting{Overhang: plan.Num(o), Size: plan.Size{Width: plan.Num(width + 2*o), Height: plan.Num(height + 2*o)}}
	}
	return out
}

// binding is the strips that bind a quilt of the given size: once round and 10 in (25 cm) more for corners and the
// last join. A join is diagonal and takes one strip's width of length. Bias strips come from a square, sewn to a tube
// and cut round and round: of a square a they are floor((a - 2s) / (√2 w)), each √2 (a - 2s) long.
// Source of the extra and the count: docs/craft.md#cloth.
func binding(r Rules, width, height, strip, cloth float64, bias bool) plan.Binding {
	extra := r.inch(10, 25)
	length := 2*(width+height) + extra
	out := plan.Binding{Cut: "straight", Strip: plan.Num(strip), Length: plan.Num(length), Extra: plan.Num(extra)}
	if bias {
		out.Cut = "bias"
		side, n := r.biasSquare(length, strip)
		out.Square, out.Strips, out.Joins = plan.Num(side), n, n
		return out
	}
	// n strips joined are n cloth - (n-1) strip long.
	n := 1
	if cloth > strip {
		n = max(1, int(math.Ceil((length-strip)/(cloth-strip)-1e-9)))
	}
	out.Strips, out.Joins = n, n-1
	return out
}

// lengthwise is a straight binding cut along the selvage, in so many strips of one length.
func (r Rules) lengthwise(b plan.Binding, strips int) plan.Binding {
	n := float64(strips)
	b.Strips, b.Joins = strips, strips-1
	b.Along = plan.Num(measure.Ceil((float64(b.Length)+(n-1)*float64(b.Strip))/n, r.Ruler))
	return b
}

// biasSquare is the side of the square that gives so much bias strip, and how many strips it gives.
func (r Rules) biasSquare(length, strip float64) (side float64, strips int) {
	side = math.Ceil(math.Sqrt(length * strip))
	for {
		n := math.Floor((side-2*r.Seam)/(math.Sqrt2*strip) + 1e-9)
		if n*math.Sqrt2*(side-2*r.Seam) >= length {
			return side, int(n)
		}
		side++
	}
}

// backing is the panels behind a quilt of the given size, in whichever direction takes less cloth; they are joined
// with seams of 1/2 in (1.25 cm), so n panels span n widths less n-1 inches. Where both take as much, the seams are
// horizontal: there is less to quilt across.
func backing(r Rules, width, height, cloth, overhang float64) plan.Backing {
	w, h := width+2*overhang, height+2*overhang
	seams := 2 * r.inch(0.5, 1.25)
	panels := func(span float64) int {
		if cloth <= seams {
			return 1
		}
		return max(1, int(math.Ceil((span-seams)/(cloth-seams)-1e-9)))
	}
	out := plan.Backing{Width: plan.Num(cloth), Overhang: plan.Num(overhang), Size: plan.Size{Width: plan.Num(w), Height: plan.Num(h)}}
	across, down := panels(h), panels(w) // panels of horizontal seams, and of vertical ones
	n, long := across, w
	out.Seams = "horizontal"
	if float64(down)*h < float64(across)*w-1e-9 {
		n, long = down, h
		out.Seams = "vertical"
	}
	if n == 1 {
		out.Seams = "none"
	}
	out.Panels, out.Panel, out.Length = n, plan.Num(long), plan.Num(float64(n)*long)
	amount, unit := r.shop(float64(n) * long)
	out.Amount, out.Unit = plan.Num(amount), unit
	return out
}
