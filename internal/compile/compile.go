// Package compile is the driver: it runs the phases one after the other and keeps what each found.
//
// document -> patches -> top -> units -> methods -> pressing -> order of work -> pieces and strips -> plan -> proof.
//
// It always returns a plan, as far as the phases came: a document with errors gives a plan that is not complete, with the
// findings in it. A broken invariant of ours is caught here and reported as our bug, never as the writer's.
package compile

import (
	"fmt"
	"slices"

	"quiltwright/internal/cut"
	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/exact"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/plan"
	"quiltwright/internal/press"
	"quiltwright/internal/prove"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
	"quiltwright/internal/sew"
	"quiltwright/internal/weigh"
)

// Effort limits the searches, by counted work.
type Effort int

// Efforts.
const (
	Full  Effort = iota
	Quick        // the first good answer, its bounds stated
)

// Options are what a caller may choose.
type Options struct {
	Effort Effort
	Former map[string]string // labels of an earlier version, by the key of the piece
	Proof  bool              // sew the plan, and put what was found in it
	Memory *Memory           // of earlier compilations; nil: none
	Cloth  guillotine.Effort // for the cloth of each fabric; 0: what the effort is

	materials bool // nothing but what is bought is asked for
}

// Result is every stage of one compilation, and the plan.
type Result struct {
	Doc      *quilt.Document
	Blocks   []*draft.Block
	Top      *set.Top
	Pieced   *piecing.Result
	Units    []method.Unit
	Ways     method.Ways
	Press    press.Result
	Steps    []sew.Step
	Samples  []sew.Sample // to show, where the document asks for them
	Pieces   []cut.Piece
	Findings diag.List
	Plan     *plan.Plan
}

// Compile compiles the document src, called name in messages.
func Compile(name string, src []byte, opt Options) *Result {
	return compile(func() (*quilt.Document, diag.List) { return quilt.Read(name, src) }, opt)
}

// Document compiles a document that was read already, with what was found in it.
func Document(doc *quilt.Document, found diag.List, opt Options) *Result {
	return compile(func() (*quilt.Document, diag.List) { return doc, found }, opt)
}

func compile(read func() (*quilt.Document, diag.List), opt Options) (r *Result) {
	r = &Result{Plan: &plan.Plan{Format: 1}}
	defer func() {
		if broken := recover(); broken != nil {
			f := r.Findings.Errorf(diag.Pos{}, "our-bug", "a mistake of the program, not of the document: %v", broken)
			f.Remedy = "please report it with the document"
			r.Plan.Complete = false
			opt.Memory.lose()
		}
		r.Findings.Sort()
		r.Plan.Findings = findings(r.Findings)
	}()
	doc, found := read()
	r.Doc = doc
	r.Findings.Add(found...)
	r.head()
	drafter := draft.New(doc)
	top, found := set.Lay(doc, drafter)
	for _, b := range doc.Blocks { // blocks that nothing uses are drawn too, so that their mistakes are found
		if !used(drafter.Blocks(), b.Name) && b.Width.Sign() > 0 && b.Height.Sign() > 0 {
			drafter.Draw(draft.Use{Block: b.Name, At: b.At})
		}
	}
	r.Top, r.Blocks = top, drafter.Blocks()
	r.Findings.Add(doc.Fresh(r.Findings, append(drafter.Findings(), found...))...)
	effort, weight := piecing.Full, weigh.Normal
	if opt.Effort == Quick {
		effort, weight = piecing.Quick, weigh.Quick
	}
	r.Pieced, found = opt.Memory.take(doc, r.Blocks, top, effort)
	r.Findings.Add(found...)
	if r.Findings.HasErrors() || r.Pieced.Top < 0 {
		r.drawn()
		return r
	}
	ways, colour := press.Alternate(r.Pieced, top, func(b int) (w, h exact.Num) { return r.Blocks[b].Width, r.Blocks[b].Height })
	months, setMonth := schedule(doc, r.Blocks, top, colour)
	r.Ways = ways
	in := method.Input{Doc: doc, Pieced: r.Pieced, Blocks: r.Blocks, Months: months, SetMonth: setMonth, Ways: ways, Outward: method.Outward(r.Pieced)}
	r.Units, found = method.Choose(in)
	said, arrows := r.say()
	r.Findings.Add(arrows...)
	r.Press = press.Solve(doc, r.Units, r.Pieced.Top, ways, said, press.Usual(), weight)
	r.Findings.Add(r.unspun(said)...)
	in.Ways.Split, in.Ways.Second = r.Press.Split, r.Press.Second
	r.Ways = in.Ways
	if slices.Contains(in.Ways.Split, true) {
		in.Former = r.Units
		r.Units, found = method.Choose(in) // batches round up each way
	}
	r.Findings.Add(found...)
	r.Steps = sew.Order(r.Units, r.monthly(months), r.Pieced.Top, setMonth)
	if doc.Make.Samples {
		r.Samples = sew.Samples(r.Units, r.Steps)
	}
	pieces, of := cut.Pieces(doc, r.Units, r.extra(), opt.Former)
	r.Pieces = pieces
	if opt.materials {
		r.Plan.Finished = plan.Size{Width: num(r.Top.Width), Height: num(r.Top.Height)}
		r.materials(len(months), opt)()
		r.Plan.Complete = !r.Findings.HasErrors()
		return r
	}
	r.assemble(of, months, setMonth, opt)
	r.Plan.Complete = !r.Findings.HasErrors()
	if opt.Proof {
		proof := prove.Prove(r.Plan)
		r.Plan.Proof = &proof
	}
	return r
}

func used(blocks []*draft.Block, name string) bool {
	for _, b := range blocks {
		if b.Name == name {
			return true
		}
	}
	return false
}

// schedule is how many of each drawn block every month makes, each way it is pressed, and the month in which the top is put
// together.
func schedule(doc *quilt.Document, blocks []*draft.Block, top *set.Top, colour []int) (months [][][2]int, setMonth int) {
	left := make([][2]int, len(blocks))
	for i, p := range top.Placed {
		left[p.Block][colour[i]]++
	}
	if len(doc.Months) == 0 {
		return [][][2]int{left}, 0
	}
	months = make([][][2]int, len(doc.Months))
	for m, month := range doc.Months {
		months[m] = make([][2]int, len(blocks))
		if month.Set {
			setMonth = m
		}
		for _, want := range month.Blocks {
			n := want.Count
			for b, block := range blocks {
				if block.Name != want.Block || block.Mirror != want.Mirror || !sameColours(block, want.Recolor) {
					continue
				}
				for way := range 2 {
					k := min(n, left[b][way])
					months[m][b][way] += k
					left[b][way] -= k
					n -= k
				}
			}
		}
	}
	for b := range left { // plain cells, and what the programme does not name, belong to the top
		months[setMonth][b][0] += left[b][0]
		months[setMonth][b][1] += left[b][1]
	}
	return months, setMonth
}

// sameColours reports whether a block is drawn with the recolouring that a month names.
func sameColours(b *draft.Block, recolor map[string]string) bool {
	for from, to := range recolor {
		if b.Recolor[from] != to && from != to {
			return false
		}
	}
	for from, to := range b.Recolor {
		if recolor[from] != to && from != to {
			return false
		}
	}
	return true
}

// monthly lists the units of the blocks of each month, in the order of the programme.
func (r *Result) monthly(months [][][2]int) [][]int {
	out := make([][]int, len(months))
	for m := range months {
		seen := map[int]bool{}
		add := func(b int) {
			u := r.Pieced.Blocks[b].Unit
			if months[m][b] != [2]int{} && u >= 0 && !seen[u] {
				seen[u] = true
				out[m] = append(out[m], u)
			}
		}
		if m < len(r.Doc.Months) {
			for _, want := range r.Doc.Months[m].Blocks {
				for b, block := range r.Blocks {
					if block.Name == want.Block && block.Mirror == want.Mirror {
						add(b)
					}
				}
			}
		}
		for b := range r.Blocks {
			add(b)
		}
	}
	return out
}

// findings turns the list into the plan's.
func findings(l diag.List) []plan.Finding {
	out := []plan.Finding{}
	for _, f := range l {
		g := plan.Finding{Severity: f.Severity.String(), Code: f.Code, Says: f.Says, Remedy: f.Remedy, Block: f.Block}
		if !f.At.IsZero() {
			g.At = &plan.Place{Line: f.At.Line, Column: f.At.Column}
		}
		if f.Point != nil {
			g.Point = &plan.Point{plan.Num(f.Point[0]), plan.Num(f.Point[1])}
		}
		out = append(out, g)
	}
	return out
}

func id(kind string, n int) string { return fmt.Sprintf("%s%d", kind, n+1) }
