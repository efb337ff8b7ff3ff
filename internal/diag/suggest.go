package diag

import "strings"

// Suggest returns the word of among that the user may have meant by word, or "" where none is near. Case does not count; the
// nearest wins, then the first. A word is near when a third of its letters or fewer (at least one) differ: changed, missing, too
// many, or two neighbours swapped; four letters or more that begin it come before all others. Words over 40 letters have no
// suggestion.
func Suggest(word string, among []string) string {
	const longest = 40
	w := []rune(strings.ToLower(strings.TrimSpace(word)))
	if len(w) == 0 || len(w) > longest {
		return ""
	}
	for _, a := range among {
		if len(w) >= 4 && a != word && strings.HasPrefix(strings.ToLower(a), string(w)) {
			return a
		}
	}
	best, bestDistance := "", 1+max(1, len(w)/3)
	for _, a := range among {
		r := []rune(strings.ToLower(a))
		if a == word || len(r) > longest {
			continue
		}
		if len(w) == 1 && len(r) == 1 && w[0] != r[0] {
			continue // one letter is not near another
		}
		if d := distance(w, r); d < bestDistance {
			best, bestDistance = a, d
		}
	}
	return best
}

// distance is how many letters to change, add, drop or swap with their neighbour to get from a to b.
func distance(a, b []rune) int {
	before, last, now := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}
