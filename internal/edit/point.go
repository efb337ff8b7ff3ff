package edit

import (
	"fmt"
	"slices"
	"strings"

	"quiltwright/internal/exact"
	"quiltwright/internal/measure"
)

// point reads x,y in steps of the grid.
func point(s string) (x, y exact.Num, ok bool) {
	a, b, found := strings.Cut(s, ",")
	x, errX := measure.Parse(a)
	y, errY := measure.Parse(b)
	return x, y, found && errX == nil && errY == nil && !strings.ContainsAny(s, " \t\n")
}

// samePoint reports whether two words are the same point: 3/2,1 and 1.5,1 are.
func samePoint(a, b string) bool {
	ax, ay, okA := point(a)
	bx, by, okB := point(b)
	return okA && okB && ax.Equal(bx) && ay.Equal(by)
}

// scaled is the point with x multiplied by a/b and y by c/d.
func scaled(p string, a, b, c, d int) (string, error) {
	x, y, ok := point(p)
	if !ok {
		return "", refuse("for example  3/2,4", "“%s” is not a point", shorten(p))
	}
	return number(x.Mul(exact.Frac(int64(a), int64(b)))) + "," + number(y.Mul(exact.Frac(int64(c), int64(d)))), nil
}

// number is a coordinate as a document writes it.
func number(x exact.Num) string {
	n, d, _ := x.Rat()
	if d == 1 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d/%d", n, d)
}

// points splits words at spaces and checks that each is a point.
func points(words Words) ([]string, error) {
	out := strings.Fields(strings.Join(words, " "))
	for _, p := range out {
		if _, _, ok := point(p); !ok {
			return nil, refuse("write x,y in steps of the grid without a space: 3/2,4", "“%s” is not a point", shorten(p))
		}
	}
	return out, nil
}

// run is points as a line of the document.
func run(words Words) (string, error) {
	p, err := points(words)
	if err == nil && len(p) < 2 {
		err = refuse("for example  0,2 6,2", "a line needs at least two points")
	}
	return strings.Join(p, " "), err
}

// edits changes words of a scalar in their places, so that the space between them stays: change returns what stands instead of the word
// with that number, "" for a word that goes.
func (e *editor) edits(n *node, change func(i int, word string) (string, error)) error {
	old := strings.Fields(n.text)
	fresh := make([]string, len(old))
	changed := false
	for i, w := range old {
		f, err := change(i, w)
		if err != nil {
			return err
		}
		fresh[i] = f
		changed = changed || f != w
	}
	if !changed {
		return nil
	}
	kept := slices.DeleteFunc(slices.Clone(fresh), func(s string) bool { return s == "" })
	joined := strings.Join(kept, " ")
	if n.style == '|' || n.style == '>' || !safe(fresh) {
		e.splice(n.start, n.end, quoted(joined, n.inFlow, 0))
		n.text = joined
		return nil
	}
	places, ok := wordPlaces(string(e.src[n.start:n.end]), old)
	inText, _ := wordPlaces(n.text, old)
	if !ok {
		e.splice(n.start, n.end, quoted(joined, n.inFlow, n.style))
		n.text = joined
		return nil
	}
	last := len(fresh) - 1 // of those that stay
	for last > 0 && fresh[last] == "" {
		last--
	}
	splices := func(at [][2]int) []splice {
		var out []splice
		for i, f := range fresh {
			switch {
			case f == old[i]:
			case f != "":
				out = append(out, splice{at[i][0], at[i][1], f})
			case i < last:
				out = append(out, splice{at[i][0], at[i+1][0], ""})
			case i > 0:
				out = append(out, splice{at[i-1][1], at[i][1], ""})
			default:
				out = append(out, splice{at[i][0], at[i][1], ""})
			}
		}
		return out
	}
	for _, s := range splices(places) {
		e.splice(n.start+s.start, n.start+s.end, s.text)
	}
	n.text = string(spliced([]byte(n.text), splices(inText)))
	return nil
}

// wordPlaces are where the words stand in the text, one after the other but for spaces, line ends and quotes; ok is false where they do not.
func wordPlaces(text string, words []string) (places [][2]int, ok bool) {
	at := 0
	for _, w := range words {
		i := strings.Index(text[at:], w)
		if i < 0 || strings.Trim(text[at:at+i], " \t\r\n\"'") != "" {
			return nil, false
		}
		places = append(places, [2]int{at + i, at + i + len(w)})
		at += i + len(w)
	}
	return places, true
}

// safe reports whether the words may stand in any kind of scalar as they are.
func safe(words []string) bool {
	for _, w := range words {
		if w != "" && strings.Trim(w, "0123456789,/.-ABCDEFGHIJKLMNOPQRSTUVWXYZ@m") != "" {
			return false
		}
	}
	return true
}

// eachPoint changes every point of a drawn block.
func (e *editor) eachPoint(b *node, change func(string) (string, error)) error {
	var all []*node
	var gather func(n *node)
	gather = func(n *node) {
		if n == nil {
			return
		}
		if n.kind == scalar {
			all = append(all, n)
		}
		for _, en := range n.entries {
			gather(en.value)
		}
		for _, it := range n.items {
			gather(it.value)
		}
	}
	gather(b.at("lines"))
	gather(b.at("first"))
	gather(b.at("fill"))
	gather(b.at("press"))
	for _, n := range all {
		if err := e.edits(n, func(_ int, w string) (string, error) {
			if w == "open" { // the word of an arrow
				return w, nil
			}
			return change(w)
		}); err != nil {
			return err
		}
	}
	return nil
}
