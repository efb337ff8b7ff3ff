package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"quiltwright/internal/cut"
	"quiltwright/internal/diag"
	"quiltwright/internal/files"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
)

// listFlags are how a cutting list is laid.
type listFlags struct {
	List   string `placeholder:"LIST" help:"A cutting list as CSV (columns fabric, shape, width, height, count, turn, join, angle, motif), such as cutting.csv; - is standard input."`
	Width  string `placeholder:"WIDTH" help:"Usable width of the cloth that the list is laid on."`
	Sheet  string `placeholder:"WxL" help:"Lay the list on sheets of this width and length, such as 21x18."`
	Stages int    `placeholder:"N" help:"Cut in 2 stages (strips, pieces), or in 3 (segments are cut again). Without it 2."`
	Grain  string `placeholder:"fixed" help:"fixed: no piece of the list turns."`
}

// rules reads the flags.
func (f listFlags) rules(s *session) (cut.ListRules, error) {
	out := cut.ListRules{Stages: 2, Effort: s.effort}
	switch f.Stages {
	case 0, 2:
	case 3:
		out.Stages = 3
	default:
		return out, fmt.Errorf("--stages %d: write 2 or 3", f.Stages)
	}
	switch f.Grain {
	case "":
	case "fixed":
		out.Fixed = true
	default:
		return out, fmt.Errorf("--grain %q: write fixed, or leave it away", f.Grain)
	}
	length := func(flag, text string) (float64, error) {
		x, err := measure.Parse(text)
		switch {
		case err != nil:
			return 0, fmt.Errorf("%s: %w", flag, err)
		case x.Sign() == 0 || x.Float() > 500:
			return 0, fmt.Errorf("%s: %s is no size of cloth; more than 0 and at most 500 are possible", flag, text)
		}
		return x.Float(), nil
	}
	var err error
	switch {
	case f.Sheet != "" && f.Width != "":
		return out, fmt.Errorf("--width and --sheet: a list is laid on cloth off the bolt or on sheets")
	case f.Sheet != "":
		w, l, ok := strings.Cut(strings.ToLower(f.Sheet), "x")
		if !ok {
			return out, fmt.Errorf("--sheet %q: write width and length, such as 21x18", f.Sheet)
		}
		if out.Sheet[0], err = length("--sheet", w); err != nil {
			return out, err
		}
		out.Sheet[1], err = length("--sheet", l)
	case f.Width != "":
		out.Width, err = length("--width", f.Width)
	default:
		return out, fmt.Errorf("--list needs the width of the cloth: write --width 42, or --sheet 21x18")
	}
	return out, err
}

// layList lays a cutting list and prints how.
func (s *session) layList(f listFlags) error {
	rules, err := f.rules(s)
	if err != nil {
		return err
	}
	in, err := files.Read(f.List, s.stdin, maxDocument)
	if err != nil {
		return err
	}
	if len(in.Bytes) >= maxDocument {
		return fmt.Errorf("%s: the list is longer than %d bytes", f.List, maxDocument-1)
	}
	stop := s.progress("laying " + in.Name)
	list, found := cut.ReadList(in.Bytes)
	var fabrics []cut.ListFabric
	if !found.HasErrors() {
		var more diag.List
		fabrics, more = cut.LayList(list, rules)
		found.Add(more...)
	}
	stop()
	found.Sort()
	if s.report(work{Input: in}, found); found.HasErrors() {
		return failure{wrong}
	}
	if s.json {
		return s.printFabrics(list.Unit, fabrics)
	}
	return s.print(listText(list, fabrics))
}

// cutting is what cut writes as JSON.
type cutting struct {
	Measure string        `json:"measure"`
	Pieces  []plan.Piece  `json:"pieces,omitempty"`
	Fabrics []plan.Fabric `json:"fabrics"`
	Finish  *plan.Finish  `json:"finish,omitempty"`
}

// printCutting writes what the plan of a document says of its cutting.
func (s *session) printCutting(file string) error {
	w, err := s.load(file, false)
	if err != nil {
		return err
	}
	return s.printJSON(cutting{w.plan.Measure, w.plan.Pieces, w.plan.Fabrics, &w.plan.Finish})
}

// printFabrics writes what a plan says of its fabrics.
func (s *session) printFabrics(unit measure.Unit, fabrics []cut.ListFabric) error {
	out := cutting{Measure: unit.String()}
	for _, f := range fabrics {
		out.Fabrics = append(out.Fabrics, f.Fabric)
	}
	return s.printJSON(out)
}

// printJSON writes a value.
func (s *session) printJSON(out any) error {
	text, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		return err
	}
	return s.print(string(text) + "\n")
}

// listText is the layout as a person cuts it.
func listText(list cut.List, fabrics []cut.ListFabric) string {
	var b strings.Builder
	in := func(x plan.Num) string { return measure.Format(float64(x), list.Unit) + " " + list.Unit.Abbrev() }
	for i, f := range fabrics {
		if i > 0 {
			b.WriteByte('\n')
		}
		name := "Fabric " + f.Letter
		if f.Name != "" {
			name += ", " + f.Name
		}
		if f.Sheets > 0 {
			fmt.Fprintf(&b, "%s: %s, %s\n", name, number(f.Sheets, "sheet"), least(f.Optimal, fmt.Sprintf("at most %d could be saved", f.Sheets-f.SheetsBound), f.Rules))
		} else {
			fmt.Fprintf(&b, "%s: %s of cloth %s wide, %s\n", name, in(f.Length), in(f.Width), least(f.Optimal, "at most "+in(f.Length-f.Bound)+" could be saved", f.Rules))
			fmt.Fprintf(&b, "  to buy, without margins: %s %s; %s\n", measure.Format(float64(f.Buy.Amount), measure.Inch), f.Buy.Unit, saving(list.Unit, f))
		}
		if f.Sheets == 0 {
			listStrips(&b, "  ", f.Strips, list.Unit)
			continue
		}
		rest := f.Strips
		for _, a := range f.Alike {
			fmt.Fprintf(&b, "  %s:\n", number(a.Count, "sheet"))
			var own []plan.Strip
			for _, st := range rest[:a.Strips] {
				st.Count /= a.Count
				own = append(own, st)
			}
			listStrips(&b, "    ", own, list.Unit)
			rest = rest[a.Strips:]
		}
	}
	return b.String()
}

// listStrips writes a line for each entry: what is cut side by side, and above one another.
func listStrips(b *strings.Builder, indent string, strips []plan.Strip, unit measure.Unit) {
	size := func(x plan.Num) string { return measure.Format(float64(x), unit) }
	for _, st := range strips {
		where := ""
		if st.Along == "length" {
			where = " along the length"
		}
		fmt.Fprintf(b, "%s%s %s %s%s: ", indent, number(st.Count, "strip"), size(st.Height), unit.Abbrev(), where)
		for n, g := range st.Segments() {
			if n > 0 {
				b.WriteString(", ")
			}
			stack := []string{}
			for _, run := range plan.Runs(g) {
				text := run[0].Label
				if run[0].Turned {
					text += " turned"
				}
				if many := len(run); many > 1 {
					text = fmt.Sprintf("%d %s", many, text)
				}
				stack = append(stack, text)
			}
			text := strings.Join(stack, " above ")
			if len(g) > 1 {
				text = "(" + text + ")"
			}
			if g[0].Row > 0 {
				nested := ""
				if g[0].Count > 1 {
					nested = " end to end"
				}
				fmt.Fprintf(b, "%d %s%s in %s", g[0].Count, g[0].Label, nested, size(g[0].Row))
				continue
			}
			fmt.Fprintf(b, "%d x %s %s", g[0].Count, size(g[0].Width), text)
		}
		if st.Left > 0 {
			fmt.Fprintf(b, "; left %s %s", size(st.Left), unit.Abbrev())
		}
		b.WriteByte('\n')
	}
}

// least says what is proven.
func least(optimal bool, gap, rules string) string {
	if optimal {
		return "proven least (" + rules + ")"
	}
	return gap + " (" + rules + ")"
}

// saving is the gap as cloth to buy.
func saving(unit measure.Unit, f cut.ListFabric) string {
	step, name := 4.5, "1/8 yd"
	if unit == measure.Centimetre {
		step, name = 10, "10 cm"
	}
	steps := math.Ceil(float64(f.Length)/step-1e-9) - math.Ceil(float64(f.Bound)/step-1e-9)
	switch {
	case steps < 0.5:
		return "no less would do"
	case steps < 1.5:
		return "at most " + name + " could be saved"
	}
	return fmt.Sprintf("at most %.0f x %s could be saved", steps, name)
}

// number is a count with its noun.
func number(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
