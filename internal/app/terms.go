package app

import (
	"fmt"

	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
)

// term is something that the whole quilt is made by and that no drawing shows: its seam, the margins of its cloth, who designed it. The page
// shows it as a value that is clicked; it is typed, or chosen, or both.
type term struct {
	Name    string   `json:"name"`  // for the focus
	Label   string   `json:"label"` // what it is
	Says    string   `json:"says"`  // how it is now
	At      []string `json:"at"`    // its place in the document
	Typed   string   `json:"typed"` // what is typed; "" where it is only chosen
	Value   string   `json:"value"` // and as it is written now
	Key     string   `json:"key"`   // of a mapping at the place that what is typed belongs to, "" for none
	Length  bool     `json:"length"`
	Choices []way    `json:"choices"`
}

// way is one of the choices of a term.
type way struct {
	Says   string `json:"says"`
	Value  string `json:"value"` // "" takes the key out of the document
	Chosen bool   `json:"chosen"`
}

// length is a term that is a length.
func (s *state) length(name, label, says string, now exact.Num, at ...string) term {
	u := s.doc.Measure
	return term{Name: name, Label: label, Says: fmt.Sprintf(says, measure.FormatWith(now.Float(), u)), At: at, Typed: "In " + plural(u), Value: measure.Format(now.Float(), u), Length: true, Choices: []way{}}
}

// cutTerms are what sizes and cloth are reckoned by.
func (s *state) cutTerms() []term {
	d := s.doc
	inch := d.Measure == measure.Inch
	measured := term{Name: "measure", Label: "Measure; numbers stay as they are written", Says: "in " + plural(d.Measure), At: []string{"measure"},
		Choices: []way{{"inches", "inch", inch}, {"centimetres", "cm", !inch}}}
	prewash := term{Name: "prewash", Label: "Whether cloth is washed before it is cut", Says: "cut unwashed", At: []string{"prewash"}, Typed: "It is washed, and shrinks by", Value: "3%", Key: "shrink",
		Choices: []way{{"it is not washed", "", d.Shrink.Sign() == 0}}}
	if d.Shrink.Sign() > 0 {
		prewash.Value = percent(d.Shrink)
		prewash.Says = "washed first, shrinks " + prewash.Value
	}
	spare := term{Name: "spare", Label: "Spare pieces", Says: "no spare pieces", At: []string{"make", "spare"}, Typed: "More of every piece, by", Value: "0%", Choices: []way{}}
	if d.Make.Spare.Sign() > 0 {
		spare.Value = percent(d.Make.Spare)
		spare.Says = spare.Value + " spare pieces"
	}
	miscut := s.length("miscut", "More cloth, for a miscut", "%s for a miscut", d.Make.Miscut, "make", "margin", "miscut")
	miscut.Choices = []way{{"the largest strip once more", "one strip", d.Make.MiscutStrip}}
	if d.Make.MiscutStrip {
		miscut.Says = "a strip for a miscut"
	}
	return []term{measured,
		s.length("seam", "Seam allowance", "seams %s", d.Seam, "seam"),
		s.length("ruler", "The mark of the ruler to which sizes are rounded where they may be", "ruler to %s", d.Ruler, "ruler"),
		prewash, spare,
		chosen("long strips", "How strips longer than the cloth is wide are cut", d.Make.LongStrips, []string{"make", "long strips"}, []way{
			{"long strips as less has to be bought", "auto", false}, {"long strips along the selvage", "along", false},
			{"long strips joined by straight seams", "straight", false}, {"long strips joined by diagonal seams", "diagonal", false}}),
		s.length("squaring", "More cloth, for squaring it up", "%s to square up", d.Make.Squaring, "make", "margin", "squaring"),
		miscut}
}

// pressTerms are what matters most where seams are pressed.
func (s *state) pressTerms() []term {
	return []term{chosen("press", "What matters most", s.doc.Make.Press, []string{"make", "press"}, []way{
		{"that seams nest", "nest", false}, {"that seams lie toward the darker cloth", "dark", false}, {"that seams are pressed open", "open", false}, {"that crossings are spun", "spin", false}})}
}

// sewTerms are how units are made to their size.
func (s *state) sewTerms() []term {
	t := chosen("fit", "How units come to their size", s.doc.Make.Fit, []string{"make", "fit"}, []way{{"cut to size", "exact", false}, {"made large and trimmed", "trim", false}})
	if len(s.doc.Make.FitBy) > 0 {
		t.Says = "unit by unit"
		for i := range t.Choices {
			t.Choices[i].Chosen = false
		}
	}
	return []term{t, chosen("corners", "How pieces are aligned whose points pass what they are sewn to", s.doc.Make.Corners, []string{"make", "corners"}, []way{
		{"points pass", "passing", false}, {"points trimmed", "trimmed", false}})}
}

// bookTerms are what the cover and the foot of the pages say.
func (s *state) bookTerms() []term {
	d := s.doc
	out := []term{}
	for _, t := range []struct{ key, label, none, typed, now string }{
		{"designer", "Who designed it", "no designer", "Name", d.Designer},
		{"version", "Version", "no version", "As in 1.2", d.Version},
		{"date", "Date", "no date", "Year, month, day, as in 2027-01-08", d.Date},
		{"rights", "Rights", "no line of rights", "A line at the foot of every page", d.Rights},
		{"contact", "Where to ask", "no contact", "An address of any kind", d.Contact},
	} {
		says := t.now
		if says == "" {
			says = t.none
		} else if t.key == "version" {
			says = "version " + says
		}
		out = append(out, term{Name: t.key, Label: t.label, Says: says, At: []string{t.key}, Typed: t.typed, Value: t.now, Choices: []way{}})
	}
	samples := term{Name: "samples", Label: "Samples to show in a class", Says: "no samples to show", At: []string{"make", "samples"},
		Choices: []way{{"none", "", !d.Make.Samples}, {"one of every unit after each of its steps; their pieces are cut, too", "true", d.Make.Samples}}}
	if d.Make.Samples {
		samples.Says = "samples to show"
	}
	return append(out, samples)
}

// chosen is a term that is only chosen.
func chosen(name, label, now string, at []string, ways []way) term {
	t := term{Name: name, Label: label, At: at, Choices: ways}
	for i := range ways {
		if ways[i].Chosen = ways[i].Value == now; ways[i].Chosen {
			t.Says = ways[i].Says
		}
	}
	return t
}

// plural is lengths of the unit, in words.
func plural(u measure.Unit) string {
	if u == measure.Centimetre {
		return "centimetres"
	}
	return "inches"
}

// percent is a part as it is written: 3%.
func percent(x exact.Num) string {
	return fmt.Sprintf("%.4g%%", 100*x.Float())
}
