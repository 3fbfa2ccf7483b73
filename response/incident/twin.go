package incident

import (
	"math"
	"slices"
	"time"

	"tidehold/response/dilution"
	"tidehold/volumes/stock"
)

// twinWithin is how far apart two changes of the same water may be and still be one that two people,
// or a tired one, entered twice: shorter than any wait between changes, a rule of this tool.
const twinWithin = 15 * time.Minute

// Twin is the earlier entry that a change or a result repeats to the digit; 0: none. Buckets entered
// one by one are alike too: it is for people to say.
func (l Log) Twin(entry int) int {
	k := slices.IndexFunc(l.Items, func(it Item) bool { return it.ID == entry })
	if k < 0 {
		return 0
	}
	it := l.Items[k]
	for _, x := range l.Items {
		if x.ID >= it.ID || x.Kind != it.Kind {
			continue
		}
		switch it.Kind {
		case stock.Change:
			if x.At.Sub(it.At).Abs() <= twinWithin && slices.EqualFunc(x.Pours, it.Pours, func(a, b stock.Pour) bool { return a.Store == b.Store && a.Litres.Equal(b.Litres) }) {
				return x.ID
			}
		case stock.Result:
			if x.At.Equal(it.At) && slices.Equal(x.Results, it.Results) {
				return x.ID
			}
		}
	}
	return 0
}

// soonestConfirmH is after how many hours a second sample confirms: a day, as people keep it.
const soonestConfirmH = 20

// Confirmed reports whether every measured goal has a sample at least a day after the first one that
// met it.
func (st *State) Confirmed() bool {
	return !slices.ContainsFunc(st.Goals, func(g Goal) bool { return g.Finding != nil && !g.confirmed() })
}

func (g *Goal) confirmed() bool {
	if g.Target <= 0 || g.Finding == nil {
		return false
	}
	first := math.Inf(1)
	for _, p := range g.Finding.Series.Samples {
		if dilution.Judge(p.UgL, p.U, g.Target, p.Below) != dilution.Below {
			first = math.Inf(1) // it came back
			continue
		}
		first = min(first, p.AtH)
		if p.AtH >= first+soonestConfirmH {
			return true
		}
	}
	return false
}
