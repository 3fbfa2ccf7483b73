package schedule

// PermeateRow is one value of the published temperature corrections.
type PermeateRow struct {
	// Table names it, A to C; FeedC is the feed temperature in whole °C.
	Table string `json:"table"`
	FeedC int    `json:"feed_c"`
	// Factor is the rate over that at 25 °C.
	Factor float64 `json:"factor"`
	Source string  `json:"source"`
}

// PermeateRows lists the three published tables, value by value.
func PermeateRows() []PermeateRow {
	var out []PermeateRow
	for i := range permeateTables {
		p := &permeateTables[i]
		for k := range p.values {
			out = append(out, PermeateRow{p.name, p.firstC + k, p.multiplier(k), p.source})
		}
	}
	return out
}
