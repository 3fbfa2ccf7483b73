package refs

import "strings"

// Nearest returns the candidate closest to word by Damerau-Levenshtein distance
// with adjacent swaps, ignoring case, and true when it is close enough to be a
// likely slip: at most one edit for every three letters, and at least one; a word
// of one or two letters must share the first letter too. Ties go to the first
// candidate.
func Nearest(word string, candidates []string) (string, bool) {
	lower := strings.ToLower(word)
	letters := []rune(lower)
	limit := max(1, len(letters)/3)
	best, bestAt := limit+1, ""
	for _, c := range candidates {
		if len(letters) > 0 && len(letters) < 3 && !strings.HasPrefix(strings.ToLower(c), string(letters[0])) {
			continue
		}
		if d := distance(lower, strings.ToLower(c)); d < best {
			best, bestAt = d, c
		}
	}
	return bestAt, best <= limit
}

// distance is the optimal string alignment distance between two short words.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	prev2 := make([]int, len(y)+1)
	prev := make([]int, len(y)+1)
	cur := make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(x); i++ {
		cur[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(y)]
}
