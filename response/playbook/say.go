package playbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
)

// volume prints litres that may not be known.
func (f *Facts) volume(l *float64, r units.Rounding) (string, bool) {
	if l == nil {
		return "", false
	}
	return f.amount(*l, r), true
}

// amount prints litres; none is "0 L".
func (f *Facts) amount(l float64, r units.Rounding) string {
	return zeroPlain(f.Units.Volume(l, r))
}

// pour is amount of what is poured, with the digits that it is planned with.
func (f *Facts) pour(l float64, r units.Rounding) string {
	return zeroPlain(f.Units.VolumeToPour(l, r))
}

// zeroPlain writes nothing without decimals.
func zeroPlain(s string) string {
	if number, unit, ok := strings.Cut(s, " "); ok && strings.Trim(number, "0.") == "" {
		return "0 " + unit
	}
	return s
}

// changeRow is a change with what is printed of it.
type changeRow struct {
	plan.Step
	row units.Parts
}

// changeRow is one change of the plan; whoever prints several asks for changeRows.
func (f *Facts) changeRow(s plan.Step) changeRow { return changeRow{s, f.Plan.Row(&s, f.Units)} }

// changeRows are the first changes of the plan, at most so many.
func (f *Facts) changeRows(most int) []changeRow {
	var out []changeRow
	for i, row := range f.Plan.Rows(f.Units)[:min(most, len(f.Plan.Steps))] {
		out = append(out, changeRow{f.Plan.Steps[i], row})
	}
	return out
}

// entry is a change as "incident import" reads it, in the litres the card prints; "" where
// water comes from elsewhere, whose salinity and temperature somebody has to read first.
func (f *Facts) entry(s changeRow) string {
	total, unit := decimal.Zero, ""
	var from strings.Builder
	poured := s.poured()
	for _, i := range poured {
		d, text := s.From[i], s.row.Each[i]
		if len(poured) == 1 {
			text = s.row.Whole
		}
		var number string
		number, unit, _ = strings.Cut(text, " ")
		n, err := decimal.NewFromString(number)
		if err != nil || d.StoreID == "" || d.Delivery > 0 {
			return ""
		}
		total = total.Add(n)
		from.WriteString(" from " + d.StoreID)
		if len(poured) > 1 {
			from.WriteString("=" + number + unit)
		}
	}
	if from.Len() == 0 {
		return ""
	}
	return "change " + total.String() + unit + from.String()
}

// from names the vats of a change.
func (s changeRow) from() string {
	var out []string
	for _, i := range s.poured() {
		out = append(out, s.vat(i))
	}
	return strings.Join(out, " + ")
}

// poured are the draws of a change that pour anything as it is printed.
func (s changeRow) poured() []int { return s.Poured(s.row) }

// vat names one vat of a change, with its litres where there are several.
func (s changeRow) vat(i int) string {
	d := s.From[i]
	name := d.StoreID
	if d.Delivery > 0 {
		name = fmt.Sprintf("delivery %d", d.Delivery)
	}
	if d.Batch > 0 {
		name += fmt.Sprintf(" (batch %d)", d.Batch)
	}
	if len(s.poured()) > 1 {
		name = s.row.Each[i] + " " + name
	}
	return name
}

// saltBand is how far the salinity of a vat may be from what was planned, either way.
const saltBand = plan.SaltBand

// band is what one vat of a change is to read: its own temperature and salinity as the
// litres were worked out for, a step to each side, the temperature as far as the tank's own,
// without units. The mixture of two vats is read nowhere: 12 and 35 with a band of 16.5 to
// 17.5 had both vats "mended".
func (f *Facts) band(d plan.Draw) (warm, salt string) {
	if d == (plan.Draw{}) {
		return "____", "____"
	}
	_, salt = f.around(d.Temperature, 1, d.Salinity, saltBand)
	own := d.Temperature
	if f.Water != nil {
		own = float64(f.Water.Temperature)
	}
	low, high := d.Warm(own)
	return f.degrees(low) + "–" + f.degrees(high), salt
}

// degrees is a temperature without its unit.
func (f *Facts) degrees(t float64) string { return strings.Fields(f.Units.Temperature(t))[0] }

// around is a band about a temperature and a salinity, by so much to each side, without units.
func (f *Facts) around(t, byC, s, by float64) (warm, salt string) {
	return f.degrees(t-byC) + "–" + f.degrees(t+byC), units.Fixed(s-by, 1) + "–" + units.Fixed(s+by, 1)
}

// degree is the reader's unit of temperature.
func (f *Facts) degree() string { return strings.Fields(f.Units.Temperature(0))[1] }

// since is when a change begins: at once, or so long after the one before it began.
func since(steps []plan.Step, i int) string {
	if i == 0 {
		if steps[0].AtH < 1 {
			return "at once"
		}
		return units.Hours(steps[0].AtH) + " after the start"
	}
	return "+" + units.Hours(units.Up.To(steps[i].AtH-steps[i-1].AtH, 1.0/12)) + " after the last one began"
}

// takes is how long draining and filling are, or the buckets each way, for the i-th vat
// of a change: the whole row stands with its first. "16 trips for 75 L" was read as 160 L,
// "4 buckets" as 40 L of 37, "each 8.7 L" of one vat as the row's 247 L: the buckets are
// told for each way, the last one by its litres, and with a pump those of their vat alone.
func (f *Facts) takes(s changeRow, i int) string {
	byHand := !slices.ContainsFunc(s.From, func(d plan.Draw) bool { return !d.Buckets })
	carried, first := "", i == 0
	if poured := s.poured(); len(poured) > 0 {
		first = i == poured[0]
	}
	if i < len(s.From) && s.From[i].Buckets {
		carried = f.bucketsOf(s.row.Each[i])
	}
	switch {
	case byHand && first && len(s.From) > 0:
		return "each " + f.bucketsOf(s.row.Whole)
	case first && carried == "":
		return eachWay(s.Step)
	case first:
		return eachWay(s.Step) + ", " + carried
	case byHand || carried == "":
		return none
	}
	return carried
}

// eachWay is how long the pump drains and how long it fills: the sum of both told nobody when
// the litres are out.
func eachWay(s plan.Step) string {
	drain, fill := units.Hours(units.Up.To(s.DrainMinutes/60, 1.0/60)), units.Hours(units.Up.To(s.FillMinutes/60, 1.0/60))
	minutes, unit, _ := strings.Cut(drain, " ")
	if unit == "min" && strings.Count(fill, " ") == 1 && strings.HasSuffix(fill, " min") {
		return minutes + "+" + fill
	}
	return drain + " + " + fill
}

// none stands in a cell that asks for nothing; an empty one is written in.
const none = "-"

// printed is what an amount comes to as it was printed, L: 50.1 L stand as 50 L, and
// are five buckets of 10 L, not six.
func (f *Facts) printed(text string) float64 {
	number, _, _ := strings.Cut(text, " ")
	d, err := decimal.NewFromString(number)
	if err != nil {
		return 0
	}
	return d.InexactFloat64() * f.Units.LitresPer()
}

// bucketsOf counts the buckets of a printed amount: full ones, and what the last one
// takes, to the digits printed.
func (f *Facts) bucketsOf(amount string) string {
	number, unit, _ := strings.Cut(amount, " ")
	if f.printed(amount) == 0 {
		return amount
	}
	_, decimals, _ := strings.Cut(number, ".")
	// Of the bucket as it is printed: four of 2.64 gal and 0.5 gal are 11.1 gal, of "2.6 gal" they are 10.9.
	full := f.printed(f.bucket())
	n := int(f.printed(amount)/full + 0.02)
	rest := units.Fixed((f.printed(amount)-float64(n)*full)/f.Units.LitresPer(), len(decimals))
	switch {
	case n == 0:
		return amount
	case strings.Trim(rest, "-0.") == "" || strings.HasPrefix(rest, "-"):
		return units.Count(n, "bucket")
	}
	return units.Count(n, "bucket") + " + " + rest + " " + unit
}

// smallChange is the row that may be done with water too cold, in buckets where all is
// carried.
func (f *Facts) smallChange() (string, bool) {
	text, ok := f.volume(f.SmallChangeL, units.Down)
	if ok && f.Buckets && f.PumpLH == nil {
		if buckets := f.bucketsOf(text); buckets != text {
			text += " (" + buckets + ")"
		}
	}
	return text, ok
}

// degreeStep is 1 °C as a difference in the reader's units, as the cards write it.
func (f *Facts) degreeStep() string {
	show, _ := literal("1 °C")
	return show(f.Units)
}

// volumeWord names the reader's unit of volume in a text written for litres.
func (f *Facts) volumeWord(text string) string {
	if f.Units == units.US {
		return strings.ReplaceAll(text, "litres", "gallons")
	}
	return text
}

// hourRange prints one time, or two as a range; the lower is rounded down and the
// higher up to what a person can act on.
func hourRange(low, high float64) string {
	a, b := units.Hours(units.Down.To(low, 1.0/60)), units.Hours(units.Down.To(high, 1.0/60))
	if a == b {
		return a
	}
	return a + " to " + b
}

// tempRange prints a band of temperatures with one unit.
func (f *Facts) tempRange(low, high float64) string {
	a, b := f.Units.Temperature(low), f.Units.Temperature(high)
	return strings.Fields(a)[0] + " to " + b
}

// mostDevices is how many are named one by one.
const mostDevices = 5

// devices names what is switched off before water leaves the system; a long list
// is named by kind, so that it can be read aloud in one breath.
func (f *Facts) devices() string {
	if n := len(f.SwitchOff); n == 0 || n > mostDevices {
		return "heaters, pumps, skimmer, top-off and dosing"
	}
	return units.List(f.SwitchOff, "")
}

// devicesBack names what is switched on again: the same list, but never what failed.
func (f *Facts) devicesBack() string {
	if n := len(f.SwitchOff); n == 0 || n > mostDevices {
		return "good ones, never a tagged one"
	}
	return "the same, but none that is tagged"
}

// bucket is how far a bucket is filled, as the cautions write it.
func (f *Facts) bucket() string {
	show, _ := literal(fmt.Sprintf("%g L", bucketL))
	return show(f.Units)
}

// transfer says how water is moved.
func (f *Facts) transfer() string {
	switch {
	case f.Buckets && f.PumpLH == nil:
		return "by siphon OR jug into " + f.bucket() + " buckets, no hand in"
	case f.Buckets:
		return "with the pump, a row all in buckets by siphon OR jug, no hand in"
	case f.PumpLH != nil:
		return "with the pump, no hand in"
	}
	return "with pump, siphon OR jug into " + f.bucket() + " buckets, no hand in"
}

// aimLeft is the share that may be left at the end of the plan.
func (f *Facts) aimLeft() float64 {
	a := f.Plan.Demand.Aims[0]
	return a.Target / a.Start
}

// verdict says in a few words whether the water is enough, and who else has of it.
func (f *Facts) verdict() string {
	if len(f.Beside) == 0 {
		return f.enough()
	}
	var served, same, late, never []string
	for _, id := range f.Beside {
		other := f.other(id)
		switch {
		case other == nil:
			same = append(same, id)
		case other.InTime:
			served = append(served, id)
		case other.DoneAtH != nil:
			late = append(late, id)
		default:
			never = append(never, id)
		}
	}
	said := f.enough()
	for _, x := range []struct {
		ids       []string
		one, more string
	}{
		{same, "These rows serve %s too: do not do them twice.", "These rows serve %s too: do not do them twice."},
		{served, "%s has water of its own: do that card too.", "%s have water of their own: do those cards too."},
		{late, "%s is LATE with what is left: do that card too; phone for more.", "%s are LATE with what is left: do those cards too; phone for more."},
		{never, "%s has NOT ENOUGH in what is left: do that card too; phone for more.", "%s have NOT ENOUGH in what is left: do those cards too; phone for more."},
	} {
		switch len(x.ids) {
		case 0:
		case 1:
			said += " " + fmt.Sprintf(x.one, x.ids[0])
		default:
			said += " " + fmt.Sprintf(x.more, units.List(x.ids, ""))
		}
	}
	return said + f.besideSays()
}

// other is the plan of an event that has struck too; nil where it is in the same tank, whose rows serve both.
func (f *Facts) other(event string) *plan.Plan {
	for k := range f.Others {
		if slices.Contains(f.Others[k].Demand.EventIDs(), event) {
			return &f.Others[k]
		}
	}
	return nil
}

// enough says whether the water is.
func (f *Facts) enough() string {
	p := f.Plan
	within := p.Demand.Aims[0].WithinH
	rows := "Do the rows; phone for more."
	if len(p.Steps) == 0 {
		rows = "No row can be done; phone for more."
	}
	switch {
	case p.DoneAtH == nil && f.LackingL != nil:
		if f.dated { // to the letter as much as one line of the front holds
			return "NOT ENOUGH" + f.counted() + ": " + f.amount(*f.LackingL, units.Up) + " lacking. " + rows
		}
		return "NOT ENOUGH: " + f.amount(*f.LackingL, units.Up) + " more is lacking. " + rows
	case p.DoneAtH == nil:
		return "NOT ENOUGH water here for the aim. " + rows
	case !p.InTime && f.LackingL != nil:
		return fmt.Sprintf("Enough, but LATE: done after %s, %s allowed. %s more%s would be in time.", units.HoursPast(*p.DoneAtH, within), units.Hours(within),
			f.amount(*f.LackingL, units.Up), f.counted())
	case !p.InTime:
		return fmt.Sprintf("Enough, but LATE: done after %s, %s allowed.", units.HoursPast(*p.DoneAtH, within), units.Hours(within))
	}
	return fmt.Sprintf("ENOUGH: %s in %s, done after %s.", p.Litres(f.Units), units.Count(len(p.Steps), "change"), units.Hours(*p.DoneAtH))
}

// counted is, on the front, the day whose stock an amount that is lacking belongs to: on another day it is
// another.
func (f *Facts) counted() string {
	if !f.dated {
		return ""
	}
	return " on " + f.Printed.Format("2 Jan")
}

// planSays is the plan in two sentences.
func (f *Facts) planSays() (string, bool) {
	if f.Plan == nil {
		return "", false
	}
	var b strings.Builder
	_, remove := shares(f.aimLeft())
	aim := f.Plan.Demand.Aims[0]
	if aim.Share() {
		fmt.Fprintf(&b, "Aim: remove %s of what went in, within %s.", remove, units.Hours(aim.WithinH))
	} else {
		fmt.Fprintf(&b, "Aim: %s from %s down to %s (remove %s) within %s.", f.substance(), f.dissolved(aim.Start), f.dissolved(aim.Target), remove, units.Hours(aim.WithinH))
	}
	b.WriteString(" " + f.verdict())
	for _, q := range f.Plan.Prepared {
		if q.What != plan.Empty && !aCup(q) && !f.mixes() {
			fmt.Fprintf(&b, " Vat %s, %s: %s.", q.StoreID, f.fromStart(q), f.preparation(q, false))
		}
	}
	if f.Several && len(f.Beside) == 0 && len(f.Plan.Steps) > 0 {
		b.WriteString(" Another tank in trouble too? Its card counts on this water: phone the keeper before row 1.")
	}
	return b.String(), true
}

// awakeSays is for which start the rows were planned where people sleep: planned in the afternoon,
// a row waits for the morning, and whoever begins at night waited ten hours for nothing.
func (f *Facts) awakeSays() string {
	if f.Awake == nil || len(f.Plan.Steps) < 2 {
		return ""
	}
	clock := func(h float64) string { return fmt.Sprintf("%02d:%02d", int(h), int(math.Round(h*60))%60) }
	return fmt.Sprintf("Planned for a start at %s, rows begun from %s to %s. If somebody is up, %s after the last is enough.",
		f.Start, clock(f.Awake.FromH), clock(f.Awake.ToH), units.Hours(f.EveryH))
}

// substance is the aim's contaminant in words.
func (f *Facts) substance() string {
	id := f.Plan.Demand.Aims[0].Contaminant
	if id == plan.TotalAmmonia {
		return "total ammonia"
	}
	return strings.ReplaceAll(id, "_", " ")
}

// dissolved prints a concentration of the aim's contaminant.
func (f *Facts) dissolved(ugL float64) string {
	contaminant := ""
	if f.Plan != nil {
		contaminant = f.Plan.Demand.Aims[0].Contaminant
	}
	return plan.LevelText(contaminant, ugL, ugL)
}

// fromStart is when a vat is prepared, in a sentence.
func (f *Facts) fromStart(q plan.Prepare) string {
	begin := f.orAfterRow1(f.begin(q.AtH, q.StoreID), q.ReadyH-q.AtH, q.StoreID)
	if strings.HasPrefix(begin, "+") {
		hours, after, _ := strings.Cut(begin, ", ")
		begin = strings.TrimSuffix(hours+" from the start, "+after, ", ")
	}
	return begin
}

// mixes reports whether the card of batches is opened: what is done to a vat stands there
// then, and nowhere twice, or it would be done twice.
func (f *Facts) mixes() bool {
	return len(f.Plan.Batches) > 0 || f.Profile.Known && !f.Profile.lacks([]string{"salt"})
}

// shares prints the share that may be left, rounded down, and the one to remove,
// rounded up, so that together they are the whole.
func shares(left float64) (stays, goes string) {
	step, digits := 0.01, 0
	if left < step {
		step, digits = 0.001, 1
	}
	left = units.Down.To(left, step)
	return units.Percent(left, digits), units.Percent(1-left, digits)
}

// binsTooSmall says that the fish would need more than the whole tank holds: "3796 L in all" beside
// 2600 L sent people to look for what no house has.
func (f *Facts) binsTooSmall() bool { return f.BinL != nil && f.NetL != nil && *f.BinL > *f.NetL }

// bins is the litres of bins that the fish need, in whole litres or gallons: nobody looks for a bin of 109.9 L.
func (f *Facts) bins() string {
	per := f.Units.LitresPer()
	return f.amount(math.Ceil(units.Up.To(*f.BinL/per, 1))*per, units.Up)
}

// binSays says which bins, what to do with less, and what they take from the plan.
func (f *Facts) binSays() string {
	if f.BinL == nil {
		return "Any wide, clean bin, bucket, cool box or bath, several of them. Without an air pump the air does not last: stay beside them with a jug. Vat water in bins comes out of the rows: write it there."
	}
	text := fmt.Sprintf("The fish need %s in all: bins, buckets, a bath. With less, or no air pump, air lasts under %s: stay beside them with a jug.", f.bins(), units.Hours(binAirH))
	if f.binsTooSmall() {
		text = fmt.Sprintf("Bins, buckets, a bath, all there are: in less water than the tank's, or without an air pump, air lasts under %s: stay beside them with a jug.", units.Hours(binAirH))
	}
	if f.OneSump {
		text += " Of tanks on one sump the whole one takes those of a leaking one."
	}
	switch {
	case f.Plan == nil:
		return text
	case len(f.Beside) > 0:
		return text + " Vat water for bins comes out of the rows of " + units.List(f.Beside, "") + " too: tell who does that card."
	case f.Plan.UsableNowL < *f.BinL:
		return text + fmt.Sprintf(" Only %s is ready in vats: those that gasp go first.", f.amount(f.Plan.UsableNowL, units.Down))
	case len(f.Plan.Steps) > 0:
		return text + " Vat water for bins comes out of row 1: write it."
	}
	return text
}
