package edit

// New returns a small whole document with the title: two fabrics and one plain block, so that everything can be made of it at once. An
// empty title is “My quilt”.
func New(title string) []byte {
	if title == "" {
		title = "My quilt"
	}
	return []byte("format: 1\nquilt: " + quoted(title, false, 0) + `

fabrics:
  A: {name: Fog, color: "#e8e3d6"}
  B: {name: Slate, color: "#45505c"}

blocks:
  First Block:
    size: 12
    grid: 6
    ground: A
`)
}
