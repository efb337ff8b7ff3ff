package compile

import (
	"sync"

	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/guillotine"
	"quiltwright/internal/method"
	"quiltwright/internal/piecing"
	"quiltwright/internal/quilt"
	"quiltwright/internal/set"
)

// Memory keeps from one compilation to the next what was found out about blocks and layouts, by their content, so that after an
// edit only what was edited is worked out again. A plan made with a memory is the plan made without, byte for byte. What it keeps is bounded.
//
// The zero value is empty, nil keeps nothing. Compilations may share one; they wait for each other where they use it.
type Memory struct {
	mu     sync.Mutex
	pieced piecing.Memory
	laid   guillotine.Memory
}

// take is piecing.Take with what is remembered.
func (m *Memory) take(doc *quilt.Document, blocks []*draft.Block, top *set.Top, effort piecing.Effort) (*piecing.Result, diag.List) {
	if m == nil {
		return piecing.Take(doc, blocks, top, method.Price, effort)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.pieced.Take(doc, blocks, top, method.Price, effort)
}

// layouts is what is remembered of cutting.
func (m *Memory) layouts() *guillotine.Memory {
	if m == nil {
		return nil
	}
	return &m.laid
}

// lose forgets the blocks: after a panic half of what is known of them may be missing.
func (m *Memory) lose() {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.pieced = piecing.Memory{}
}
