// Package app has one job: to serve the board, the local web app in which a quilt is drawn and its pattern follows.
//
// It knows no geometry and no craft. A gesture arrives as a named operation; package edit applies it to the text of the document, package
// history makes it safe on the disk, and the view of a place is made anew from the new text (places.go, one file a place). The text is the
// one truth: the page in the browser (web/) holds no model of its own, and what it looks at stands in its address.
//
//	browser ── POST /do {revision, op} ──▶ session.do: edit.Apply ▶ history.Save ▶ state ──▶ view, at once
//	browser ◀─ /events: "plan" ─────────── session.work: quick plan ▶ full plan ▶ proof
//	browser ── GET /pages, /page/{hash} ─▶ book's scenes as SVG; only pages that changed are sent
//
// The service is for one person on one machine: guard.go lets nothing else in.
//
//	b, err := app.Open("lantern-row.yaml", 0)
//	fmt.Println(b.Address)
//	b.Serve()
package app
