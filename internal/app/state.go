package app

import (
	"sync"
	"time"

	"quiltwright/internal/compile"
	"quiltwright/internal/diag"
	"quiltwright/internal/draft"
	"quiltwright/internal/edit"
	"quiltwright/internal/plan"
	"quiltwright/internal/prove"
	"quiltwright/internal/quilt"
)

// state is one revision of the document.
type state struct {
	revision int
	name     string
	*content

	begun  time.Time     // when it was first shown
	before [2]*reckoning // what the plans before the last change cost, quick and full

	making *making // where the book is written; nil for a state that no session holds

	undo, redo string // what would be taken back and made again, in words
}

// content is a text, what it says, and its plan as far as that has come: of every revision that has this text. The text and what it
// says never change; the plan comes later and is exchanged for a better one.
type content struct {
	text   []byte
	source *edit.Text      // the text and what operations know of it; under the session's mu
	doc    *quilt.Document // never nil; as much as could be read
	found  diag.List       // by the reader

	mu       sync.Mutex
	drafter  *draft.Drafter // draws the blocks that views ask for
	stage    stage
	compiled *compile.Result // of the stage; nil at first
	proof    *plan.Proof
	sums     [2]*reckoning // what the plans cost, quick and full
	printed  map[printing][]sheet
	pieced   map[string]*piecedBlock    // by the block's name
	alone    map[string]*compile.Result // of blocks that the quilt does not have yet
	expected expected                   // what size the blocks come out, once it was asked for
}

// stage is how far the plan of a revision has come.
type stage int

const (
	written stage = iota // nothing is compiled yet
	quick                // there is a plan, made with quick effort
	full                 // made with full effort
	proven               // and sewn in mind: the proof holds or says why not
)

func (s stage) String() string { return [...]string{"written", "quick", "full", "proven"}[s] }

// newContent reads the text.
func newContent(source *edit.Text) *content {
	c := &content{text: source.Bytes(), source: source, printed: map[printing][]sheet{}, pieced: map[string]*piecedBlock{}, alone: map[string]*compile.Result{}}
	c.doc, c.found = source.Read()
	c.drafter = draft.New(c.doc)
	return c
}

// newState reads the text of a revision.
func newState(revision int, name string, source *edit.Text) *state {
	return &state{revision: revision, name: name, content: newContent(source)}
}

// compile makes the plan with the effort, and keeps it.
func (s *content) compile(effort compile.Effort, memory *compile.Memory) {
	r := compile.Document(s.doc, s.found, compile.Options{Effort: effort, Memory: memory})
	s.mu.Lock()
	defer s.mu.Unlock()
	s.compiled, s.stage = r, quick
	if effort == compile.Full {
		s.stage = full
	}
	s.sums[s.stage-quick] = reckon(r)
	s.printed = map[printing][]sheet{}
}

// prove sews the plan in mind and puts into the plan what was found.
func (s *content) prove() {
	r := s.result()
	if r == nil || !r.Plan.Complete {
		return
	}
	proof := prove.Prove(r.Plan)
	proved := *r.Plan
	proved.Proof = &proof // on a copy: someone may be printing the plan
	next := *r
	next.Plan = &proved
	s.mu.Lock()
	defer s.mu.Unlock()
	s.compiled, s.stage, s.proof = &next, proven, &proof
	s.printed = map[printing][]sheet{}
}

// result is the compilation as far as it has come, or nil.
func (s *content) result() *compile.Result {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.compiled
}

// plan is the plan as far as it has come: nil where nothing is compiled yet.
func (s *content) plan() *plan.Plan {
	if r := s.result(); r != nil {
		return r.Plan
	}
	return nil
}

// reached is how far the plan has come.
func (s *content) reached() stage {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.stage
}

// sole is the compilation of a block as if the quilt were this block alone, for one that the quilt does not have yet; nil for any other.
func (s *content) sole(block string) *compile.Result {
	if s.doc.Named(block) == nil || uses(s.doc)[block] > 0 {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if known := s.alone[block]; known != nil {
		return known
	}
	text := edit.Open(s.text)
	for _, at := range []edit.Path{{"set"}, {"months"}} {
		if next, err := text.Apply(&edit.Drop{At: at}); err == nil { // an error: there is none
			text = next
		}
	}
	if next, err := text.Apply(&edit.MoveBlock{Block: block, Before: s.doc.Blocks[0].Name}); err == nil { // an error: it is the first
		text = next
	}
	doc, found := text.Read()
	r := compile.Document(doc, found, compile.Options{Effort: compile.Quick, Proof: true})
	s.alone[block] = r
	return r
}
