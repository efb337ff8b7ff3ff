package pdf

import (
	"fmt"
	"sort"
	"strings"
	"unicode/utf16"

	"github.com/carlos7ags/folio/core"
	"github.com/carlos7ags/folio/font"

	"quiltwright/internal/scene"
)

// used is the glyphs of one font that the document shows, with the text each stands for. A glyph may
// stand for several characters (⅞ for 7/8), which is why the font's objects are made here: folio maps
// each glyph to one.
type used struct {
	glyphs map[uint16]scene.Glyph
}

// note notes glyphs as used.
func (u *used) note(gs []scene.Glyph) {
	if u.glyphs == nil {
		u.glyphs = map[uint16]scene.Glyph{}
	}
	for _, g := range gs {
		u.glyphs[g.ID] = g
	}
}

// font writes one font with the glyphs that are used.
func (w *writer) font(f scene.Font) (*core.PdfIndirectReference, error) {
	u := w.fonts[f]
	var ids []int
	keep := map[uint16]rune{}
	for id := range u.glyphs {
		ids = append(ids, int(id))
	}
	sort.Ints(ids)
	for i, id := range ids {
		// The subset's own map of characters is not read, but must be the same each time: one of the
		// private characters for each glyph.
		keep[uint16(id)] = rune(0xe000 + i)
	}
	face, err := font.ParseTTF(f.File())
	if err != nil {
		return nil, err
	}
	file, err := font.Subset(f.File(), keep)
	if err != nil {
		return nil, err
	}
	base := name(tag(ids) + "+" + f.Name())

	stream := compressed(file)
	stream.Dict.Set("Length1", integer(len(file)))
	b := face.BBox()
	descriptor := w.add(dict("Type", name("FontDescriptor"), "FontName", base, "Flags", integer(int(face.Flags())),
		"FontBBox", core.NewPdfArray(integer(b[0]), integer(b[1]), integer(b[2]), integer(b[3])),
		"ItalicAngle", core.NewPdfReal(face.ItalicAngle()), "Ascent", integer(face.Ascent()), "Descent", integer(face.Descent()),
		"CapHeight", integer(face.CapHeight()), "StemV", integer(max(face.StemV(), 50)), "FontFile2", w.add(stream)))

	widths := core.NewPdfArray()
	for _, id := range ids {
		widths.Add(integer(id))
		widths.Add(core.NewPdfArray(integer(u.glyphs[uint16(id)].Plain)))
	}
	system := dict("Registry", core.NewPdfLiteralString("Adobe"), "Ordering", core.NewPdfLiteralString("Identity"), "Supplement", integer(0))
	cid := w.add(dict("Type", name("Font"), "Subtype", name("CIDFontType2"), "BaseFont", base, "CIDSystemInfo", system,
		"FontDescriptor", descriptor, "DW", integer(1000), "W", widths, "CIDToGIDMap", name("Identity")))
	back := w.add(compressed([]byte(toUnicode(ids, u.glyphs))))
	return w.add(dict("Type", name("Font"), "Subtype", name("Type0"), "BaseFont", base, "Encoding", name("Identity-H"),
		"DescendantFonts", core.NewPdfArray(cid), "ToUnicode", back)), nil
}

// tag returns the six letters that name a subset by its glyphs.
func tag(ids []int) string {
	h := uint64(14695981039346656037)
	for _, id := range ids {
		h = (h ^ uint64(id)) * 1099511628211
	}
	var t [6]byte
	for i := range t {
		t[i] = byte('A' + h%26)
		h /= 26
	}
	return string(t[:])
}

// toUnicode returns the map from glyphs back to text.
func toUnicode(ids []int, glyphs map[uint16]scene.Glyph) string {
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for len(ids) > 0 {
		n := min(len(ids), 100) // the most that one block may hold
		fmt.Fprintf(&b, "%d beginbfchar\n", n)
		for _, id := range ids[:n] {
			fmt.Fprintf(&b, "<%04X> <", id)
			for _, u := range utf16.Encode([]rune(glyphs[uint16(id)].Text)) {
				fmt.Fprintf(&b, "%04X", u)
			}
			b.WriteString(">\n")
		}
		b.WriteString("endbfchar\n")
		ids = ids[n:]
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.String()
}
