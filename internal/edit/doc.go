// Package edit changes the text of a quilt document by named operations: every gesture of the app is one, and only what it changes
// is spliced into the text. Comments, the order of keys, quotes, blank lines and indentation elsewhere stay byte for byte.
//
//	out, err := edit.Apply(src, &edit.RenameBlock{Block: "Beam", To: "Ray"})
//	op, err := edit.Decode([]byte(`{"do": "rename block", "block": "Beam", "to": "Ray"}`))
//
// Apply reads the result again and refuses a change that the reader would complain about, other than something that is missing yet
// and months that do not add up yet. The error is an *Error in the reader's words, with what would be right.
//
// Whoever applies one operation after the other keeps a Text, which reads every text once and hands out what was read:
//
//	t := edit.Open(src)
//	t, err = t.Apply(op)
//	doc, findings := t.Read()
//
// # Operations
//
// Rows, columns, lines, points, months and borders are counted from 1; before 0 (or left out) means at the end. Points are "x,y" in steps of the
// grid; several are one word with spaces or a list. Sizes are "12" or ["12", "8"]; numbers may be JSON numbers or, for fractions, words.
// block left out means the cells of the set.
//
// Any key:
//
//	put                     at, value       gives a key a value and makes what is missing on the way: ["quilt"], ["seam"], ["note"],
//	                                        ["fabrics", "A", "color"], ["fabrics", "A", "have"], ["blocks", "Beam", "note"],
//	                                        ["blocks", "Beam", "ground"], ["blocks", "Beam", "columns"], ["make", "press"],
//	                                        ["blocks", "Beam", "make", "geese"], ["make", "fit", "half squares"], ["set", "repeat"],
//	                                        ["set", "sashing"], ["set", "sashing", "posts"], ["set", "triangles", "float"],
//	                                        ["set", "borders", 2, "width"], ["finish", "binding"], ["months", 3, "title"],
//	                                        ["palettes", "Night", "A", "color"]
//	drop                    at              takes a key or an item out, and what has nothing left then
//
// Blocks:
//
//	add block               block, size, columns, rows, cells, ground      drawn on an empty grid, or of plain cells
//	copy block              block, to
//	rename block            block, to                                      all uses follow: cells, set, months
//	remove block            block, instead                                 instead stands where it was used, and the months make it if it is a block
//	move block              block, before                                  their order in the document
//	set size                block, size
//	set grid                block, columns, rows, scale                    scale keeps the drawing in its place
//	set symmetry            block, symmetry                                one, a list, or none
//	draw line               block, points
//	reshape line            block, line, points
//	move point              block, line, point, to
//	remove line             block, line
//	fill                    block, fabric, points, clear                   clear: fill points of other fabrics in the same patches
//	unfill                  block, points
//	take apart first        block, points
//	take apart as computed  block, line                                    takes a line of first out again
//	press seam              block, points, open, spun, arrow               from a point in one patch to a point in the next, toward that;
//	                                                                       spun: a point where four patches meet;
//	                                                                       without a block: a seam of the top, in finished lengths;
//	                                                                       arrow: the number of the one that it takes the place of
//	press as computed       block, arrow                                   takes an arrow of press out again
//
// Cells, of a block or of the set:
//
//	put cell                block, row, column, cell                       "goose A B@90" or {"block": "Window", "recolor": {"F": "C"}}
//	turn cell               block, row, column, by                         degrees clockwise
//	mirror cell             block, row, column, upside                     as it is seen: left to right, or top to bottom
//	recolor cell            block, row, column, recolor                    {"B": "C"}; none takes the recolouring out
//	exchange cells          block, row, column, withRow, withColumn
//	exchange block          block, from, to                                all of one for another; the months follow
//	add row, add column     block, before, cells                           without cells like the neighbour; proportions follow
//	remove row              block, row
//	remove column           block, column
//
// The set:
//
//	lay rows                rows, columns, cell
//	lay on point            triangles
//	lay straight
//	add border              before, is                                     {"width": "2", "fabric": "B"}; from the inside out
//	remove border           border
//	move border             border, before
//
// Fabrics:
//
//	add fabric              fabric, is                                     {"name": "Dusk", "color": "#334"}
//	rename fabric           fabric, to                                     its letters, wherever they are used
//	remove fabric           fabric, instead
//	move fabric             fabric, before
//	adopt palette           palette, keep                                  the quilt's fabrics become those; keep names a palette of what they were
//
// Months:
//
//	add month               title, opens, before
//	remove month            month
//	move month              month, before
//	move to month           block, recolor, mirror, from, to, count        from 0 adds, to 0 takes out, count 0 is all
//
// It assumes nothing of the text but that it is YAML as quilt.Read takes it. Text in one of YAML's rarer forms that cannot be changed in
// place is an error, never a guess.
package edit
