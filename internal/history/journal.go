package history

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash/crc32"
)

// record is a line of the journal.
type record struct {
	Do   string `json:"do"` // step, undo, redo
	Says string `json:"says,omitempty"`
	// Of a step: it puts Put in the place of Cut at byte At of the text before it.
	At  int    `json:"at,omitempty"`
	Cut []byte `json:"cut,omitempty"`
	Put []byte `json:"put,omitempty"`
	Sum string `json:"sum"` // of the text after the record
}

const (
	doStep = "step"
	doUndo = "undo"
	doRedo = "redo"
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// line is the record as it stands in the journal: the checksum of the rest in hex, a space, JSON, a line feed.
func (r record) line() []byte {
	body, err := json.Marshal(r)
	if err != nil {
		panic("history: a record cannot be written: " + err.Error()) // it is all data
	}
	return fmt.Appendf(nil, "%08x %s\n", crc32.Checksum(body, castagnoli), body)
}

// next reads the first record of the journal and how many bytes it takes; ok is false where it is torn or damaged.
func next(journal []byte) (r record, size int, ok bool) {
	end := bytes.IndexByte(journal, '\n')
	if end < 10 || journal[8] != ' ' {
		return r, 0, false
	}
	body := journal[9:end]
	if string(journal[:8]) != fmt.Sprintf("%08x", crc32.Checksum(body, castagnoli)) || json.Unmarshal(body, &r) != nil {
		return r, 0, false
	}
	return r, end + 1, true
}

// sum is a text's checksum, by which it is known again.
func sum(text []byte) string {
	s := sha256.Sum256(text)
	return hex.EncodeToString(s[:16])
}

// step is the change from one text to another: the bytes between what they have in common at both ends.
func step(from, to []byte, says string) record {
	head := 0
	for head < len(from) && head < len(to) && from[head] == to[head] {
		head++
	}
	tail := 0
	for tail < len(from)-head && tail < len(to)-head && from[len(from)-1-tail] == to[len(to)-1-tail] {
		tail++
	}
	return record{Do: doStep, Says: says, At: head, Cut: bytes.Clone(from[head : len(from)-tail]), Put: bytes.Clone(to[head : len(to)-tail]), Sum: sum(to)}
}

// forward is the text after the step, back the text before it; ok is false where the step does not fit the text.
func (r record) forward(text []byte) (out []byte, ok bool) { return exchange(text, r.At, r.Cut, r.Put) }
func (r record) back(text []byte) (out []byte, ok bool)    { return exchange(text, r.At, r.Put, r.Cut) }

func exchange(text []byte, at int, cut, put []byte) ([]byte, bool) {
	if at < 0 || at > len(text) || !bytes.HasPrefix(text[at:], cut) {
		return nil, false
	}
	out := make([]byte, 0, len(text)-len(cut)+len(put))
	out = append(append(append(out, text[:at]...), put...), text[at+len(cut):]...)
	return out, true
}

// past is what the journal says: a text, and the steps that can be taken back and made again.
type past struct {
	text    []byte
	steps   []record // all that can be taken back or made again, in order
	at      int      // how many of them are in the text
	records int      // read so far, those that were left behind included
	before  string   // sum of the text before the last record
}

// do carries a record out; ok is false where it does not fit, and nothing has changed then.
func (p *past) do(r record) bool {
	var text []byte
	ok := false
	switch {
	case r.Do == doStep:
		text, ok = r.forward(p.text)
	case r.Do == doUndo && p.at > 0:
		text, ok = p.steps[p.at-1].back(p.text)
	case r.Do == doRedo && p.at < len(p.steps):
		text, ok = p.steps[p.at].forward(p.text)
	}
	if !ok || sum(text) != r.Sum {
		return false
	}
	p.before = sum(p.text)
	p.text = text
	p.records++
	switch r.Do {
	case doStep:
		if p.at < len(p.steps) {
			p.steps = append(make([]record, 0, p.at+1), p.steps[:p.at]...) // so that a failed save can go back to the others
		}
		p.steps = append(p.steps, r)
		p.at++
	case doUndo:
		p.at--
	case doRedo:
		p.at++
	}
	return true
}

// replay reads a journal as far as it is whole, and returns how many bytes that is.
func replay(journal []byte) (p past, whole int) {
	for whole < len(journal) {
		r, size, ok := next(journal[whole:])
		if !ok || !p.do(r) {
			break
		}
		whole += size
	}
	return p, whole
}
