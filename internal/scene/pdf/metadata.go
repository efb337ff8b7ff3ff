package pdf

import (
	"encoding/xml"
	"strings"

	"github.com/carlos7ags/folio/core"
)

// info returns the document's title and the like in the old form.
func (w *writer) info() *core.PdfDictionary {
	d := dict("Title", str(w.doc.Title), "Producer", str("quiltwright"))
	if w.doc.Author != "" {
		d.Set("Author", str(w.doc.Author))
	}
	if w.doc.Subject != "" {
		d.Set("Subject", str(w.doc.Subject))
	}
	if date := strings.ReplaceAll(w.doc.Date, "-", ""); len(date) == 8 {
		d.Set("CreationDate", core.NewPdfLiteralString("D:"+date+"000000Z"))
		d.Set("ModDate", core.NewPdfLiteralString("D:"+date+"000000Z"))
	}
	return d
}

// metadata writes the same as XMP.
func (w *writer) metadata() *core.PdfIndirectReference {
	esc := func(s string) string {
		var b strings.Builder
		_ = xml.EscapeText(&b, []byte(s))
		return b.String()
	}
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n" +
		"<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n" +
		"<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n")
	b.WriteString("<dc:format>application/pdf</dc:format>\n")
	b.WriteString("<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">" + esc(w.doc.Title) + "</rdf:li></rdf:Alt></dc:title>\n")
	if w.doc.Author != "" {
		b.WriteString("<dc:creator><rdf:Seq><rdf:li>" + esc(w.doc.Author) + "</rdf:li></rdf:Seq></dc:creator>\n")
	}
	if w.doc.Subject != "" {
		b.WriteString("<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">" + esc(w.doc.Subject) + "</rdf:li></rdf:Alt></dc:description>\n")
	}
	b.WriteString("<dc:language><rdf:Bag><rdf:li>" + esc(w.lang()) + "</rdf:li></rdf:Bag></dc:language>\n")
	b.WriteString("<pdf:Producer>quiltwright</pdf:Producer>\n")
	if len(w.doc.Date) == 10 {
		b.WriteString("<xmp:CreateDate>" + esc(w.doc.Date) + "T00:00:00Z</xmp:CreateDate>\n<xmp:ModifyDate>" + esc(w.doc.Date) + "T00:00:00Z</xmp:ModifyDate>\n")
	}
	b.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	s := core.NewPdfStream([]byte(b.String()))
	s.Dict.Set("Type", name("Metadata"))
	s.Dict.Set("Subtype", name("XML"))
	return w.add(s)
}
