// Package cut says what is cut: the cutting list with its labels, and how the blanks lie on the cloth.
//
// In: the units with the blanks of their recipes (package method), month by month. Out: pieces, fabrics with
// strips, layout and what to buy, binding, backing and batting. Sizes are cut sizes: method has added the
// allowances. How blanks are packed is package guillotine's work; this package turns cloth into whole numbers of
// a grid finer than the ruler and back, and reads the result as a person cuts it.
//
// It also reads cutting lists that someone has written (ReadList) and lays those (LayList), in two stages or three.
package cut
