package draft

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
	"quiltwright/internal/quilt"
)

// GEOS, the geometry engine of many maps, cuts the same lines up by code of its own (geosop of Debian's geos-bin 3.11). What it
// found is kept in testdata/geos.txt, with the lines it was given; go test -geos ./internal/draft asks it again.
var askGEOS = flag.Bool("geos", false, "ask geosop for the polygons again and rewrite testdata/geos.txt")

const geosFile = "testdata/geos.txt"

// wkt writes the sides of a block and its lines with all their images, each once, in grid steps.
func wkt(b *quilt.Block) string {
	w, h := exact.Int(int64(b.Columns)), exact.Int(int64(b.Rows))
	todo := plane.Rectangle(w, h).Edges()
	for _, run := range b.Lines {
		for i := 1; i < len(run.Points); i++ {
			todo = append(todo, plane.Segment{A: run.Points[i-1], B: run.Points[i]})
		}
	}
	text := func(s plane.Segment) string {
		if s.B.Cmp(s.A) < 0 {
			s.A, s.B = s.B, s.A
		}
		return fmt.Sprintf("(%.12g %.12g, %.12g %.12g)", s.A.X.Float(), s.A.Y.Float(), s.B.X.Float(), s.B.Y.Float())
	}
	seen := map[string]bool{}
	for i := 0; i < len(todo); i++ {
		if seen[text(todo[i])] {
			continue
		}
		seen[text(todo[i])] = true
		for _, word := range b.Symmetry {
			pose := image(word, w, h)
			todo = append(todo, plane.Segment{A: pose.Apply(todo[i].A), B: pose.Apply(todo[i].B)})
		}
	}
	return "MULTILINESTRING (" + strings.Join(slices.Sorted(maps.Keys(seen)), ", ") + ")"
}

// polygonize has geosop node the lines and gather the polygons between them.
func polygonize(t *testing.T, lines string) []string {
	t.Helper()
	command := exec.Command("sh", "-c", "geosop -a stdin -f wkt -p 12 unaryUnion | geosop -a stdin -f wkt -p 12 polygonize")
	command.Stdin = strings.NewReader(lines)
	out, err := command.CombinedOutput()
	if err != nil {
		t.Fatalf("geosop: %v: %s", err, out)
	}
	var found []string
	for _, ring := range strings.Split(string(out), "((")[1:] {
		ring, _, _ = strings.Cut(ring, "))")
		if strings.Contains(ring, ")") {
			t.Fatalf("geosop found a polygon with a hole: %s", ring)
		}
		var pg [][2]float64
		for _, pair := range strings.Split(ring, ",") {
			var p [2]float64
			for i, n := range strings.Fields(pair) {
				if p[i], err = strconv.ParseFloat(n, 64); err != nil {
					t.Fatal(err)
				}
			}
			pg = append(pg, p)
		}
		found = append(found, cornersOf(pg[:len(pg)-1]))
	}
	slices.Sort(found)
	return found
}

// cornersOf writes a polygon's true corners, clockwise as seen from the topmost, of these the leftmost.
func cornersOf(pg [][2]float64) string {
	n := len(pg)
	area := 0.0
	for i, a := range pg {
		b := pg[(i+1)%n]
		area += a[0]*b[1] - a[1]*b[0]
	}
	if area < 0 { // y runs down: clockwise has the positive area
		slices.Reverse(pg)
	}
	var corners [][2]float64
	first := 0
	for i, p := range pg {
		a, b := pg[(i+n-1)%n], pg[(i+1)%n]
		if turn := (p[0]-a[0])*(b[1]-p[1]) - (p[1]-a[1])*(b[0]-p[0]); turn < 1e-6 && turn > -1e-6 {
			continue
		}
		corners = append(corners, p)
		if c := corners[first]; p[1] < c[1]-1e-6 || p[1] < c[1]+1e-6 && p[0] < c[0] {
			first = len(corners) - 1
		}
	}
	var out []string
	for i := range corners {
		p := corners[(first+i)%len(corners)]
		out = append(out, fmt.Sprintf("%.5f,%.5f", p[0], p[1]))
	}
	return strings.Join(out, " ")
}

// The patches of every drawn block of the examples and the catalogue, and of some made for it, are those that GEOS finds.
func TestGEOS(t *testing.T) {
	paths := []string{"testdata/crossing.yaml"}
	for _, glob := range []string{"../../examples/*.yaml", "../../blocks/*.yaml"} {
		more, _ := filepath.Glob(glob)
		paths = append(paths, more...)
	}
	known := map[string]string{} // the lines -> what GEOS says
	if src, err := os.ReadFile(geosFile); err == nil {
		for _, entry := range strings.Split(string(src), "\n\n") {
			_, rest, _ := strings.Cut(entry, "\n")
			lines, polygons, _ := strings.Cut(rest, "\n")
			known[lines] = strings.TrimSpace(polygons)
		}
	}
	var record []string
	blocks := 0
	for _, path := range paths {
		src, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		doc, found := quilt.Read(path, src)
		if found.HasErrors() {
			t.Fatal(found)
		}
		d := New(doc)
		for _, def := range doc.Blocks {
			if !def.Drawn() {
				continue
			}
			blocks++
			lines, name := wkt(def), "# "+filepath.Base(path)+": "+def.Name
			if *askGEOS {
				known[lines] = strings.Join(polygonize(t, lines), "\n")
				record = append(record, name+"\n"+lines+"\n"+known[lines])
			}
			want, ok := known[lines]
			if !ok {
				t.Errorf("%s: GEOS was never asked about these lines: run go test -geos ./internal/draft", name)
				continue
			}
			b := drawn(d, Use{Block: def.Name})
			if d.Findings().HasErrors() {
				t.Fatalf("%s: %v", name, d.Findings())
			}
			x, y := float64(def.Columns)/b.Width.Float(), float64(def.Rows)/b.Height.Float()
			var got []string
			for _, p := range b.Patches {
				var pg [][2]float64
				for _, v := range p.Outline {
					pg = append(pg, [2]float64{v.X.Float() * x, v.Y.Float() * y})
				}
				got = append(got, cornersOf(pg))
			}
			slices.Sort(got)
			if got := strings.Join(got, "\n"); got != want {
				t.Errorf("%s: drawn\n%s\nGEOS says\n%s", name, got, want)
			}
		}
	}
	if blocks < 8 {
		t.Errorf("only %d drawn blocks", blocks)
	}
	if *askGEOS {
		if err := os.WriteFile(geosFile, []byte(strings.Join(record, "\n\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
