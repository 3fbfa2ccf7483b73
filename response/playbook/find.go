package playbook

import (
	"slices"
	"strings"
)

// Hit is a card that fits the words asked for.
type Hit struct {
	Name, Title string
	// Score is the share of the words asked for that the card knows, 0 to 1.
	Score float64
}

// idle are words that tell no event from another.
var idle = set("a an the is are was it its in on of to my i and or has have there with from at for very too water tank aquarium fish all " +
	"what how do does not no went goes gone got get into out up this that something")

// Search finds the cards whose name, title, condition or synonyms hold the words a
// person uses, the best first. A name, or a synonym word for word, is found alone.
// Nothing found gives an empty list.
func (l *Library) Search(text string) []Hit {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	if p := l.Find(strings.ReplaceAll(text, " ", "-")); p != nil {
		return []Hit{{p.Name, p.Title, 1}}
	}
	asked := keywords(text)
	var hits []Hit
	for _, name := range l.Names() {
		p := l.Find(name)
		for _, s := range append([]string{p.Title}, p.Synonyms...) {
			if strings.ToLower(s) == text || len(asked) > 0 && slices.Equal(keywords(strings.ToLower(s)), asked) {
				return []Hit{{p.Name, p.Title, 1}}
			}
		}
		if score := p.score(asked); score > 0 {
			hits = append(hits, Hit{p.Name, p.Title, score})
		}
	}
	slices.SortStableFunc(hits, func(a, b Hit) int {
		switch {
		case a.Score > b.Score:
			return -1
		case a.Score < b.Score:
			return 1
		}
		return 0
	})
	return hits
}

// clearly is how far the best card must lie above the second to be taken without
// a question.
const clearly = 0.25

// Best is the one card that fits, or those to choose from.
func Best(hits []Hit) []Hit {
	if len(hits) < 2 || hits[0].Score-hits[1].Score >= clearly {
		return hits[:min(1, len(hits))]
	}
	n := 1
	for n < len(hits) && n < 4 && hits[0].Score-hits[n].Score < clearly {
		n++
	}
	return hits[:n]
}

// keywords are the stems of the words that tell something.
func keywords(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') }) {
		if !idle[w] && len(w) > 1 {
			out = append(out, stem(w))
		}
	}
	return out
}

// stem cuts the endings that English words differ by.
func stem(w string) string {
	for _, end := range []string{"ing", "ed", "es", "s", "en", "er"} {
		if len(w) > len(end)+3 && strings.HasSuffix(w, end) {
			return strings.TrimSuffix(w, end)
		}
	}
	return strings.TrimSuffix(w, "e")
}

// score is the share of the words asked for that the card's name, title and
// synonyms hold; words in its condition alone count half.
func (p *Playbook) score(asked []string) float64 {
	if len(asked) == 0 {
		return 0
	}
	first := keywords(strings.ToLower(p.Name + " " + p.Title + " " + strings.Join(p.Synonyms, " ")))
	second := keywords(strings.ToLower(p.UseWhen))
	sum := 0.0
	for _, w := range asked {
		switch {
		case slices.Contains(first, w):
			sum++
		case slices.Contains(second, w):
			sum += 0.5
		}
	}
	return sum / float64(len(asked))
}
