package guillotine

import (
	"fmt"
	"sync"
)

// Memory keeps the layouts of problems that were laid before: after an edit most fabrics are cut as they were. Equal problems
// have equal layouts, so it changes how long they take, and nothing else. Whoever gets a layout must not change it. What it keeps is bounded.
//
// The zero value is empty, nil keeps nothing. It may be shared.
type Memory struct {
	mu          sync.Mutex
	met, before map[string]any
}

// mostKept is how many layouts are met before those that were not met since as many are forgotten.
const mostKept = 1000

// Lay is Lay with what is remembered.
func (m *Memory) Lay(p Problem) (Layout, error) {
	return Remembered(m, p, Lay)
}

// LaySheets is LaySheets with what is remembered.
func (m *Memory) LaySheets(p SheetProblem) (Sheets, error) {
	return Remembered(m, p, LaySheets)
}

// FillSheet is FillSheet with what is remembered.
func (m *Memory) FillSheet(p SheetProblem) (Sheet, []int, error) {
	type filled struct {
		sheet Sheet
		count []int
	}
	f, err := Remembered(m, p, func(p SheetProblem) (filled, error) {
		sheet, count, err := FillSheet(p)
		return filled{sheet, count}, err
	})
	return f.sheet, f.count, err
}

// Remembered returns what was found for the problem before, or finds it now. Errors are not kept. A problem is known by its fields as fmt prints them.
func Remembered[P, L any](m *Memory, p P, find func(P) (L, error)) (L, error) {
	if m == nil {
		return find(p)
	}
	var wanted L
	key := fmt.Sprintf("%T %T %v", wanted, p, p) // whatever fields it has
	m.mu.Lock()
	known, ok := m.met[key]
	if !ok {
		known, ok = m.before[key]
	}
	m.mu.Unlock()
	if !ok {
		got, err := find(p)
		if err != nil {
			return got, err
		}
		known = got
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.met == nil || len(m.met) >= mostKept {
		m.met, m.before = map[string]any{}, m.met
	}
	m.met[key] = known
	return known.(L), nil
}
