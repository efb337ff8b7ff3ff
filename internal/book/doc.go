// Package book turns a plan into pages: the whole pattern and a handout for each month, on letter
// and A4 paper, with every drawing as a file, the cutting list as CSV and the plan as JSON.
//
// It takes a plan, the sentences of words and the drawings of figure, and gives files as bytes; it
// touches no disk and has no clock. Before it comes compile; after it only whoever writes the files.
package book
