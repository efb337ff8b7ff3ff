package edit

import (
	"fmt"
	"strings"
)

func init() {
	register[PressSeam]()
	register[PressComputed]()
}

// PressSeam says which way a seam of a block is pressed: the seam between the patches that hold the two points, toward the second, or open; or that a crossing,
// which is one point, is spun.
// Points are in the block's own steps. Without a block it is a seam of the top, and points are finished lengths in it. Arrow is the number, counted from 1, of an arrow in whose place this one is put; 0 adds it.
type PressSeam struct {
	Block  string `json:"block,omitempty"`
	Points Words  `json:"points"`
	Open   bool   `json:"open,omitempty"`
	Spun   bool   `json:"spun,omitempty"`
	Arrow  int    `json:"arrow,omitempty"`
}

// Name implements Op.
func (*PressSeam) Name() string { return "press seam" }

func (op *PressSeam) apply(e *editor) error {
	p, err := points(op.Points)
	switch {
	case err != nil:
	case op.Spun && (len(p) != 1 || op.Open):
		err = refuse("for example  2,2", "a crossing that is spun is one point")
	case !op.Spun && (len(p) != 2 || samePoint(p[0], p[1])):
		err = refuse("for example  1/2,1 3/2,1", "an arrow goes from a point in one patch to a point in the next")
	}
	if err != nil {
		return err
	}
	arrow := strings.Join(p, " ")
	switch {
	case op.Open:
		arrow += " open"
	case op.Spun:
		arrow += " spun"
	}
	b, at, err := e.drawn(op.Block)
	if err != nil {
		return err
	}
	at = append(at, "press")
	have := b.at("press")
	switch {
	case op.Arrow != 0:
		if _, err := e.runAt(op.Block, "press", op.Arrow); err != nil {
			return err
		}
		if have.kind == sequence {
			at = append(at, fmt.Sprint(op.Arrow))
		}
		return e.putAt(at, text(arrow))
	case have == nil:
		return e.putAt(at, text(arrow))
	case have.kind == sequence:
		e.insertItem(have, len(have.items), text(arrow))
		return nil
	case have.kind == scalar:
		return e.putAt(at, list(false, text(have.text), text(arrow)))
	}
	return refuse("write a list of arrows", "%s is no list", strings.Join(at, " › "))
}

// PressComputed takes out an arrow of a block, or without a block of the set, counted from 1: the seam is pressed as the plan finds best.
type PressComputed struct {
	Block string `json:"block,omitempty"`
	Arrow int    `json:"arrow"`
}

// Name implements Op.
func (*PressComputed) Name() string { return "press as computed" }

func (op *PressComputed) apply(e *editor) error {
	if _, err := e.runAt(op.Block, "press", op.Arrow); err != nil {
		return err
	}
	return e.dropRun(op.Block, "press", op.Arrow)
}
