package draft

import (
	"fmt"
	"strings"

	"quiltwright/internal/diag"
	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
	"quiltwright/internal/plane"
)

// gridPoint writes a point of the grid as the format does: 3/2,4.
func gridPoint(p plane.Point) string { return gridNumber(p.X) + "," + gridNumber(p.Y) }

func gridNumber(x exact.Num) string {
	n, d, ok := x.Rat()
	switch {
	case !ok:
		return fmt.Sprintf("%.3f", x.Float())
	case d == 1:
		return fmt.Sprint(n)
	default:
		return fmt.Sprintf("%d/%d", n, d)
	}
}

// length writes a finished length with its unit: 3 7/8 in.
func (d *Drafter) length(x exact.Num) string { return measure.FormatWith(x.Float(), d.doc.Measure) }

// size writes a finished size: 12 x 6 in.
func (d *Drafter) size(w, h exact.Num) string {
	return measure.Format(w.Float(), d.doc.Measure) + " x " + measure.FormatWith(h.Float(), d.doc.Measure)
}

func spot(p plane.Point) *[2]float64 { return &[2]float64{p.X.Float(), p.Y.Float()} }

// some lists at most five things and says how many there are besides.
func some(all []string) string {
	const most = 5
	if len(all) <= most {
		return strings.Join(all, " ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(all[:most], " "), len(all)-most)
}

func firstOf(places ...diag.Pos) diag.Pos {
	for _, p := range places {
		if !p.IsZero() {
			return p
		}
	}
	return diag.Pos{}
}
