// Package piecing finds how patches come apart by straight seams, and so how they are sewn together.
//
// In goes what draft and set drew: blocks as patches, the top as placed blocks and patches. Out come units: every
// distinct sewn thing once, each either a patch or a few parts with the joins between them in the order of sewing.
// press, sew and cut come after it and read units, never patches.
//
// A region comes apart along a chord that runs from edge to edge and cuts no patch. Which lines to take is chosen by
// dynamic programming over the sets of patches that lines can reach; a region that no line takes apart (a core) is
// sewn with a partial seam or with parts set into corners. Equal parts, up to turns, are found once: they are one unit.
// A mirrored part is another unit, unless it is its own mirror image.
//
// Example: a nine-patch is one unit of three rows, and a row one unit of three squares; two of its rows are equal, so the
// quilt has four units more: two squares, two rows.
package piecing

import (
	"quiltwright/internal/plane"
	"quiltwright/internal/unit"
)

// Role says what a unit is to the quilt.
type Role int

// Roles, from the smallest to the largest; a unit that is several things has the largest.
const (
	Patch     Role = iota // one piece of cloth
	Piecework             // something inside a block
	Row                   // a run of parts joined side by side inside a block
	Block                 // a whole block
	Setting               // a part of the top: a row of blocks, the sashing, the top without its last border
	Top                   // the whole top
)

// String returns the role's name in lower case.
func (r Role) String() string {
	return [...]string{"patch", "piecework", "row", "block", "setting", "top"}[r]
}

// Kind says how a seam is sewn.
type Kind int

// Kinds of join.
const (
	Straight Kind = iota
	Partial       // stops half way, where a later part has to come in between
	SetIn         // a side of a part that is set into a corner
	Curved        // one arc from end to end
)

// String returns the plan's word for the kind.
func (k Kind) String() string { return [...]string{"straight", "partial", "set in", "curved"}[k] }

// Unit is a distinct sewn thing, in a frame of its own with its box at 0,0. The frame is upright for a unit of the
// trade, the block's own for a block, else as it was met first, with its sides along the axes where they can be.
type Unit struct {
	Key     string     // of the content: outlines, fabrics and print directions up to turns; equal in every quilt
	Shape   unit.Shape // Roles are numbers of the unit's leaves, counted as Leaves counts them
	Outline plane.Polygon
	Leaf    *Leaf  // of a patch, else nil
	Parts   []Part // none for a patch, else at least two
	Joins   []Join // in the order of sewing
	Role    Role
	Name    string // "row 1" and the like from the setting, or the block's name; else ""
	Block   int    // drafter's index of the first block that it is, else -1
	Patches int    // leaves under it, counted as often as they are used
	Period  int    // the least turn in degrees that leaves it looking the same: 45, 90, 180 or 360
	Twin    int    // of a three-triangles square of plain cloth: the unit that is its mirror image, it may be itself; else -1
}

// Leaf is what a patch is cut from.
type Leaf struct {
	Fabric int        // index into the document's fabrics
	Up     plane.Turn // where the print points in the unit's frame; 0 for a plain print
}

// Part is a use of a unit in another one.
type Part struct {
	Unit int
	Pose plane.Pose // from the part's frame to the unit's; never mirrored
}

// Join is one straight seam between exactly two parts.
//
// A seam along which one part meets several others is several joins, one for each of them; all but the first have OneGo.
// Around a core the first seam of a ring is Partial: it is sewn from Seam.A and left open toward Seam.B. The join that
// finishes it, in the end, is Partial with Finish, and its seam ends where the open half begins: both are closed in one
// go. A part set into a corner has one join for each side of the corner, Kind SetIn, all but the first with Finish.
type Join struct {
	A, B   int // parts; in a run A lies before B, on the left or on top; around a core B is what is added to A
	Kind   Kind
	Seam   plane.Segment // finished, in the unit's frame
	Finish bool          // both sides already lie in place
	OneGo  bool          // goes straight on from the join before it, as one seam
}

// Use is where a unit lies in a block.
type Use struct {
	Unit int        // -1: the block was not taken apart, because it is broken or empty
	Pose plane.Pose // from the unit's frame to the block's
}

// Result is everything that was found.
type Result struct {
	Units  []Unit // patches first; a part always stands before the unit that it is in
	Blocks []Use  // by the drafter's index
	Top    int    // unit of the top, -1 without one

	// Paths of part numbers, from the root's unit down.
	BlockLeaves  [][][]int // by the drafter's index and the number of the patch in the block: to that patch
	PlacedLeaves [][]int   // by the number in Top.Placed: from the top to the unit of the block
	TopLeaves    [][]int   // by the number in Top.Patches: from the top to that patch
}

// Pricer says how much work a region saves by being the unit of the trade that it is: 0 for nothing, 100 for about as
// much as a half square saves by being made in pairs. fabrics holds the fabric of each role, -1 for a role without
// a patch. It must depend on its arguments only. Every tree of straight cuts has the same number and length of seams,
// so what units of the trade save is the whole difference between two trees, but for ties.
type Pricer func(shape unit.Shape, fabrics []int) int

// Effort limits the search for the cheapest tree.
type Effort int

// Efforts.
const (
	Full  Effort = iota // up to 20,000 regions of a block are looked at
	Quick               // up to 1,000
)
