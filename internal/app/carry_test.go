package app

import (
	"net/http"
	"strings"
	"testing"

	"quiltwright/internal/draft"
)

// TestCarry draws lines across cloth: every place of the block keeps its fabric, and nothing is to be mended.
func TestCarry(t *testing.T) {
	s := serve(t, strings.Replace(blank, "    ground: A\n", "    symmetry: quarter turns\n    lines:\n      - 0,2 4,2\n    fill:\n      B: 1,1\n    ground: A\n", 1))
	sheet := func() draft.Sheet {
		doc := s.board.server.session.current().doc
		return draft.New(doc).Sheet(doc.Named("Star"))
	}
	for _, op := range []string{
		`{"do": "draw line", "block": "Star", "points": "0,0 4,4"}`, // through the fill point itself
		"fill", // half of each corner
		`{"do": "draw line", "block": "Star", "points": "0,1 1,0"}`, // corners off both halves
		`{"do": "remove line", "block": "Star", "line": 3}`,
		`{"do": "move point", "block": "Star", "line": 2, "point": 1, "to": "0,2"}`,
		`{"do": "move point", "block": "Star", "line": 2, "point": 1, "to": "0,0"}`,
		`{"do": "set symmetry", "block": "Star", "symmetry": ["half turn"]}`, // lines are lost, and with them patches
		`{"do": "set symmetry", "block": "Star", "symmetry": []}`,
		`{"do": "draw line", "block": "Star", "points": "2,0 2,4"}`,
		`{"do": "remove line", "block": "Star", "line": 2}`, // patches grow together: one fabric stays
	} {
		was := sheet()
		filling := op == "fill"
		if filling {
			f := was.Faces[0]
			var clear []string
			for _, p := range f.Fills {
				clear = append(clear, draft.GridPoint(p))
			}
			op = `{"do": "fill", "block": "Star", "fabric": "C", "points": "` + draft.GridPoint(f.Inside) + `", "clear": "` + strings.Join(clear, " ") + `"}`
		}
		if r := s.send("POST", "/do", s.do(op), nil); r.StatusCode != http.StatusOK {
			t.Fatalf("%s: %d %s", op, r.StatusCode, bodyOf(r))
		}
		at := s.board.server.session.current()
		d := draft.New(at.doc)
		is := d.Sheet(at.doc.Named("Star"))
		for _, f := range is.Faces {
			if in := was.At(f.Inside); !filling && in >= 0 && was.Faces[in].Fabric != f.Fabric {
				t.Errorf("%s: at %s lies %s, and %s lay there\n%s", op, draft.GridPoint(f.Inside), f.Fabric, was.Faces[in].Fabric, at.text)
			}
		}
		if found := d.Findings(); found.HasErrors() && !strings.Contains(found.String(), "inside a patch and divides nothing") {
			t.Errorf("%s: %s\n%s", op, found, at.text)
		}
	}
	if text := string(s.board.server.session.current().text); !strings.Contains(text, "C: ") || !strings.Contains(text, "B: ") {
		t.Errorf("a fabric is lost:\n%s", text)
	}
}
