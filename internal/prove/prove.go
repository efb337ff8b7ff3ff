// Package prove sews a plan on paper: it carries out every recipe with the pieces as printed and
// compares what comes out with what was drawn.
//
// It reads a plan and nothing else; it knows no method by name and shares no formula with what
// made the plan. A distinct unit is sewn once, from its parts' own proven outlines, however often
// it is used. docs/plan.md, "What the proof checks", lists the rules.
//
//	proof := prove.Prove(p)
//	if !proof.Holds { ... proof.Findings ... }
package prove

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"quiltwright/internal/flat"
	"quiltwright/internal/measure"
	"quiltwright/internal/plan"
)

// exactly is how near places must be that are given to six decimals and composed a few times.
const exactly = 2e-5

// most is how many findings are kept; a broken plan has many that say the same.
const most = 200

// prover carries the proof of one plan.
type prover struct {
	p     *plan.Plan
	proof plan.Proof
	seam  float64
	ease  float64
	mark  float64
	unit  measure.Unit

	units   []unit
	byID    map[string]int
	pieces  map[string]*plan.Piece
	fabrics map[string]*plan.Fabric
	blocks  map[string]*plan.Block
	recipes map[string]int
	ends    [][]seamEnd // of each unit, once asked for: see seamEnds
	left    int         // findings beyond most
}

// unit is what is known of a unit of the plan.
type unit struct {
	*plan.Unit
	outline []pt
	parts   []part
	recipes []int  // that give it
	leaves  int    // patches under it
	panel   *panel // nil: not proven, or never made as itself
	setting bool   // of the top: it holds placed blocks
}

type part struct {
	unit int
	pose plan.Pose
}

// panel is a sewn unit as the next recipe sees it: one sheet of cloth inside its raw edges.
type panel struct {
	lo, hi   []pt    // raw outline where the raw edges reach least, and most
	rounding float64 // how much its cloth is larger or smaller than exact anywhere
}

// Prove carries out the plan. It holds when there is no finding that is an error. It never panics
// and never changes the plan; an existing proof in the plan is passed over.
func Prove(p *plan.Plan) (proof plan.Proof) {
	v := &prover{p: p}
	v.proof.Findings = []plan.Finding{}
	defer func() {
		if broken := recover(); broken != nil {
			v.fault("our-bug", "", "", "", "the proof itself broke off: %v", broken)
		}
		if v.left > 0 {
			v.proof.Findings = append(v.proof.Findings, plan.Finding{Severity: "error", Code: "more", Says: fmt.Sprintf("and %d more findings", v.left)})
		}
		v.proof.Holds = true
		for _, f := range v.proof.Findings {
			if f.Severity == "error" {
				v.proof.Holds = false
			}
		}
		proof = v.proof
	}()
	if !v.head() {
		return
	}
	v.index()
	v.checkPieces()
	v.checkFabrics()
	v.checkUnits()
	v.checkDrawn()
	v.checkCounts()
	v.checkWays()
	v.checkSpins()
	v.checkBulk()
	v.checkSteps()
	v.checkWebs()
	v.checkFinish()
	v.checkPress()
	return
}

// fault records a finding that makes the proof fail.
func (v *prover) fault(code, unit, piece, remedy, says string, args ...any) {
	if len(v.proof.Findings) >= most {
		v.left++
		return
	}
	v.proof.Findings = append(v.proof.Findings, plan.Finding{Severity: "error", Code: code, Unit: unit, Piece: piece, Remedy: remedy, Says: fmt.Sprintf(says, args...)})
}

// expect counts a check, and reports whether it held.
func (v *prover) expect(ok bool) bool {
	v.proof.Checked++
	return ok
}

// long prints a length.
func (v *prover) long(x float64) string {
	if math.Abs(x) < 5e-7 {
		x = 0
	}
	s := measure.Format(x, v.unit)
	if math.Abs(x*64-math.Round(x*64)) > 1e-6 {
		s = strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.4f", x), "0"), ".")
	}
	return s + " " + v.unit.Abbrev()
}

// head checks what everything else rests on.
func (v *prover) head() bool {
	p := v.p
	if p == nil {
		v.fault("plan", "", "", "", "there is no plan")
		return false
	}
	v.seam, v.ease, v.mark = float64(p.Seam), float64(p.Ease), float64(p.Ruler)
	if p.Format != plan.Format {
		v.fault("plan", "", "", "", "format %d is not known", p.Format)
		return false
	}
	switch p.Measure {
	case "inch":
	case "cm":
		v.unit = measure.Centimetre
	default:
		v.fault("plan", "", "", "inch or cm", "measure “%s” is not known", p.Measure)
		return false
	}
	if !p.Complete {
		v.fault("plan", "", "", "", "the plan is not complete: its document has errors")
		return false
	}
	least, ease := 1.0/16, 1.0/32
	if v.unit == measure.Centimetre {
		least, ease = 0.2, 0.08
	}
	v.proof.Ease = p.Ease
	if !v.expect(v.seam >= least && v.seam <= 16*least) {
		v.fault("plan", "", "", "", "a seam of %s", v.long(v.seam))
		return false
	}
	if !v.expect(same(v.ease, ease, 1e-9)) {
		v.fault("plan", "", "", v.long(ease), "ease is %s", v.long(v.ease))
	}
	if !v.expect(v.mark > 0 && v.mark <= 8*least) {
		v.fault("plan", "", "", "", "a ruler with a mark every %s", v.long(v.mark))
		return false
	}
	for _, f := range p.Findings {
		if !v.expect(f.Severity != "error") {
			v.fault("plan", "", "", "", "the plan says it is complete, but has an error: %s", f.Says)
		}
	}
	return true
}

// index finds everything by its name. A name that stands twice, or for nothing, is a finding.
func (v *prover) index() {
	p := v.p
	v.byID, v.pieces, v.fabrics = map[string]int{}, map[string]*plan.Piece{}, map[string]*plan.Fabric{}
	v.blocks, v.recipes = map[string]*plan.Block{}, map[string]int{}
	for i := range p.Fabrics {
		f := &p.Fabrics[i]
		if !v.expect(v.fabrics[f.Letter] == nil && f.Letter != "") {
			v.fault("name", "", "", "", "fabric “%s” stands twice or has no letter", f.Letter)
		}
		if !v.expect(slices.Contains([]string{"", "plain", "two-way", "one-way"}, f.Print)) {
			v.fault("print", "", "", "plain, two-way or one-way", "fabric %s has a print that is “%s”", f.Letter, f.Print)
		}
		v.fabrics[f.Letter] = f
	}
	for i := range p.Pieces {
		x := &p.Pieces[i]
		if !v.expect(v.pieces[x.Label] == nil && x.Label != "") {
			v.fault("name", "", x.Label, "", "piece “%s” stands twice or has no label", x.Label)
		}
		v.pieces[x.Label] = x
	}
	for i := range p.Blocks {
		b := &p.Blocks[i]
		if !v.expect(v.blocks[b.ID] == nil && b.ID != "") {
			v.fault("name", "", "", "", "block “%s” stands twice or has no name", b.ID)
		}
		v.blocks[b.ID] = b
	}
	v.units = make([]unit, len(p.Units))
	for i := range p.Units {
		u := &p.Units[i]
		if _, twice := v.byID[u.ID]; !v.expect(!twice && u.ID != "") {
			v.fault("name", u.ID, "", "", "unit “%s” stands twice or has no name", u.ID)
		}
		v.byID[u.ID] = i
		v.units[i] = unit{Unit: u, outline: flat.Outline(u.Outline)}
	}
	for i := range p.Recipes {
		r := &p.Recipes[i]
		if _, twice := v.recipes[r.ID]; !v.expect(!twice && r.ID != "") {
			v.fault("name", r.Unit, "", "", "recipe “%s” stands twice or has no name", r.ID)
		}
		v.recipes[r.ID] = i
		given := map[string]bool{}
		for _, g := range r.Gives {
			if k, ok := v.byID[g.Unit]; ok && !given[g.Unit] {
				given[g.Unit] = true
				v.units[k].recipes = append(v.units[k].recipes, i)
			}
		}
	}
}
