package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"quiltwright/internal/audit"
	"quiltwright/internal/diag"
	"quiltwright/internal/files"
	"quiltwright/internal/forecast"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
	"quiltwright/internal/words"
)

type proveCommand struct {
	source
	Sheet    bool   `help:"Print the technical editor's sheet: every number with its formula, every label where it is cut and used."`
	List     string `placeholder:"LIST" help:"Compare someone's cutting list (CSV with the columns fabric, shape, width, height, count in any order; a book's cutting.csv is one) with what the plan needs."`
	Forecast bool   `help:"Sew every block 10,000 times with human error, and say what sizes to expect and what helps."`
}

// Help shows examples.
func (proveCommand) Help() string {
	return "Example:  quiltwright prove lantern-row/plan.json\n\n" +
		"Example:  quiltwright prove lantern-row.yaml --list theirs.csv\n\n" +
		"Example:  quiltwright prove lantern-row.yaml --forecast --json"
}

// found is what prove writes as JSON.
type found struct {
	Proof    *plan.Proof        `json:"proof"`
	List     *audit.Result      `json:"list,omitempty"`
	Forecast *forecast.Forecast `json:"forecast,omitempty"`
}

// Run carries the command out.
func (c proveCommand) Run(s *session) error {
	if c.List == "-" && c.File == "-" {
		return fmt.Errorf("the document and --list: only one of them can be standard input")
	}
	s.otherwise = c.Sheet
	w, err := s.load(c.File, true)
	if err != nil {
		return err
	}
	proof := w.plan.Proof
	if c.Sheet {
		if err := s.print(sheetText(w.plan)); err != nil {
			return err
		}
	}
	if !proof.Holds {
		return s.unproven(w)
	}
	out := found{Proof: proof}
	var text strings.Builder
	fmt.Fprintf(&text, "%s holds: %d checks; nothing is short by more than %.3f %s (%.3f are eased in)\n",
		w.plan.Quilt, proof.Checked, float64(proof.Short), unitOf(w.plan).Abbrev(), float64(proof.Ease))
	var failed error
	if c.List != "" {
		r, name, err := s.audit(w.plan, c.List)
		if err != nil {
			return err
		}
		out.List = r
		listVerdict(&text, name, r)
		if !r.Holds {
			failed = failure{fails}
		}
	}
	if c.Forecast {
		stop := s.progress("sewing")
		out.Forecast = forecast.Of(w.plan, forecast.Defaults(w.plan))
		stop()
		forecastText(&text, w.plan, out.Forecast)
	}
	if s.json && (c.List != "" || c.Forecast) {
		b, err := json.MarshalIndent(out, "", " ")
		if err != nil {
			return err
		}
		text.Reset()
		text.Write(append(b, '\n'))
	}
	if err := s.print(text.String()); err != nil {
		return err
	}
	return failed
}

func unitOf(p *plan.Plan) measure.Unit {
	if p.Measure == "cm" {
		return measure.Centimetre
	}
	return measure.Inch
}

// audit compares a cutting list with the plan and reports what is wrong.
func (s *session) audit(p *plan.Plan, list string) (*audit.Result, string, error) {
	in, err := files.Read(list, s.stdin, maxDocument)
	if err != nil {
		return nil, "", err
	}
	if len(in.Bytes) >= maxDocument {
		return nil, "", fmt.Errorf("%s: the list is longer than %d bytes", list, maxDocument-1)
	}
	lines, bad := audit.Read(in.Bytes, unitOf(p))
	if bad.HasErrors() {
		bad.Sort()
		s.report(work{Input: in}, bad)
		return nil, "", failure{wrong}
	}
	r := audit.Compare(p, lines)
	if !s.json { // what is found stands in what is printed
		s.report(work{Input: in}, r.Findings)
	}
	return &r, in.Name, nil
}

// listVerdict sums a comparison up.
func listVerdict(b *strings.Builder, name string, r *audit.Result) {
	right := 0
	for _, v := range r.Lines {
		if v.Is == audit.Right {
			right++
		}
	}
	does := "does not hold"
	if r.Holds {
		does = "holds"
	}
	fmt.Fprintf(b, "%s %s: %d of %s right, %d missing", name, does, right, number(len(r.Lines), "line"), len(r.Missing))
	if n := r.Findings.Count(diag.Warning); n > 0 {
		fmt.Fprintf(b, ", %s", number(n, "warning"))
	}
	b.WriteByte('\n')
}

// forecastText tells a forecast: a table, then what helps in words.
func forecastText(b *strings.Builder, p *plan.Plan, f *forecast.Forecast) {
	unit, t := unitOf(p), words.Of(p)
	in := func(x float64) string { return measure.Format(x, unit) + " " + unit.Abbrev() }
	small := func(x float64) string { return fmt.Sprintf("%.3f %s", x, unit.Abbrev()) }
	if unit == measure.Centimetre {
		small = func(x float64) string { return fmt.Sprintf("%.2f cm", x) }
	}
	of100 := func(x float64) string { return fmt.Sprintf("%.0f", 100*x) }
	o := f.Options
	fmt.Fprintf(b, "\nForecast: every block sewn %d times, as people do. Assumed: cut sizes and seams spread by %s, and each pressed seam takes up %s.\n\n",
		o.Sewings, in(o.Cutting), in(o.TakeUp))
	w := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "block\tshould be\twidth\t5 to 95 %%\theight\t5 to 95 %%\tof 100 within %s\twith the seam below\n", in(o.Near))
	for _, x := range f.Blocks {
		if x.Failed != "" {
			fmt.Fprintf(w, "%s\tcould not be sewn: %s\n", x.Name, x.Failed)
			continue
		}
		fmt.Fprintf(w, "%s\t%s by %s", x.Name, measure.Format(x.Width.Exact, unit), in(x.Height.Exact))
		for _, z := range []forecast.Size{x.Width, x.Height} {
			fmt.Fprintf(w, "\t%.2f ± %.2f\t%.2f to %.2f", z.Mean, z.Spread, z.Low, z.High)
		}
		fmt.Fprintf(w, "\t%s\t%s\n", of100(x.Within), of100(x.WithScant))
	}
	w.Flush()
	if f.Scant > 0 {
		fmt.Fprintf(b, "\nSew %s deep%s: then the blocks come out at their size in the mean.\n", small(f.Scant), about(f.Scant, unit))
	}
	for _, x := range f.Blocks {
		if x.Failed != "" {
			continue
		}
		by := (x.Width.Mean - x.Width.Exact + x.Height.Mean - x.Height.Exact) / 2
		comes := "small"
		if by > 0 {
			comes = "large"
		}
		fmt.Fprintf(b, "\n%s comes out %s %s in the mean, and typically a side is %s out.\n", x.Name, small(math.Abs(by)), comes, small(x.TypicalOut))
		if len(x.Steps) > 0 {
			e := x.Steps[0]
			fmt.Fprintf(b, "  What matters most: %s. Done exactly, %s would be left.\n", t.Work(string(e.Does), e.Unit, e.Piece, e.Seams, x.Unit).Plain(), small(e.Without))
		}
		for i, l := range x.MakeLarge {
			if i == mostLarge {
				break
			}
			fmt.Fprintf(b, "  Made large and trimmed, %s: %s of 100 within %s.\n", t.Name(l.Unit), of100(l.Within), in(o.Near))
		}
	}
}

// mostLarge is how many units are named that are worth trimming.
const mostLarge = 3

// about is a seam as a ruler shows it, where that is another number.
func about(x float64, unit measure.Unit) string {
	if unit == measure.Centimetre {
		return fmt.Sprintf(" (about %.1f mm)", 10*x)
	}
	return " (about " + measure.Format(measure.Nearest(x, 1.0/64), unit) + " in)"
}
