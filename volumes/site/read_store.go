package site

import (
	"errors"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
	"tidehold/salinity/mixing"
)

// litrePlaces is to how many places a volume found from a level is counted: a
// microlitre, so that rounding never shows.
const litrePlaces = 6

func (l *loader) readStore(root, s scope) Store {
	st := Store{ID: s.word("id"), Holds: Holds(s.word("holds"))}
	l.readContents(s, &st)
	st.Heel = units.Litres(s.number("heel"))
	if s.sound("heel") && st.Heel > st.Capacity && (s.sound("shape") || s.sound("capacity") || s.sound("volume")) {
		s.fault("heel", yamlwalk.Quote(s.node("heel").Raw())+" is more than the store holds", atMost(st.Capacity, s.given("heel")), "")
	}
	l.readStoredWater(s, &st)
	st.Mixed = s.day("mixed")
	st.MaxAgeH = s.number("max_age")
	st.HeaterW = s.number("heater")
	st.HeatLossWK = s.sub("heat_loss").maybe("coefficient")
	st.TransferLH = s.maybe("transfer")
	if st.TransferLH == nil && !s.has("transfer") {
		s.assume("transfer", "buckets", basisBuckets)
	}
	l.readStoreBackground(s, &st)
	st.FilledBy = s.word("filled_by")
	if st.FilledBy != "" && !root.has("purifier") {
		s.fault("filled_by", yamlwalk.Quote(st.FilledBy)+" fills it, but the file names no purifier", "purifier, when there is one", "add purifier: {rate: 9 L/h}")
	}
	if st.Holds == Saltwater && st.Mixed == nil && st.Volume.IsPositive() {
		s.note(NoteUndated, undatedText)
	}
	return st
}

// readContents finds capacity and volume from shape, capacity, level and volume.
func (l *loader) readContents(s scope, st *Store) {
	if s.sound("shape") {
		st.Shape = s.v.get("shape").shape.shape
		st.Capacity = st.Shape.Full()
	} else if s.sound("capacity") {
		st.Capacity = units.Litres(s.given("capacity").Value)
	}
	bounded := st.Capacity > 0
	switch {
	case s.has("level"):
		l.readLevel(s, st)
	case s.has("volume"):
		st.Volume = s.given("volume").Exact
	default:
		s.assume("volume", l.site.Units.Respell("0 L", units.Quantity{Dim: units.Volume}), basisNotThere)
		s.note(NoteEmpty, emptyText)
	}
	now := units.Litres(st.Volume.InexactFloat64())
	switch {
	case s.has("shape") || s.has("capacity"):
		if bounded && s.sound("volume") && now > st.Capacity {
			s.fault("volume", yamlwalk.Quote(s.node("volume").Raw())+" is above the brim", atMost(st.Capacity, s.given("volume")), "")
		}
	default:
		st.Capacity = now
		s.assume("capacity", l.site.Units.Respell(st.Volume.RoundFloor(2).String()+" L", units.Quantity{Dim: units.Volume, Value: st.Volume.InexactFloat64()}), basisNoRoom)
	}
}

func (l *loader) readLevel(s scope, st *Store) {
	if !s.sound("level") || st.Shape == nil {
		return // reported where the shape is read or missed
	}
	v, err := st.Shape.VolumeAt(s.given("level").Value)
	if err != nil {
		refuse(s.node("level"), s.given("level"), err)
		return
	}
	st.Volume = decimal.NewFromFloat(float64(v)).Round(litrePlaces)
}

// readStoredWater: what is not stated is taken from the first system and the room.
func (l *loader) readStoredWater(s scope, st *Store) {
	first := System{Water: Chemistry{Salinity: 35}, Ambient: Ambient{Usual: 20}}
	if len(l.site.Systems) > 0 {
		first = l.site.Systems[0]
	}
	switch {
	case s.has("salinity"):
		st.Water.Salinity = units.Practical(s.given("salinity").Value)
		if st.Holds == Purified && st.Water.Salinity > MaxPurified {
			s.fault("salinity", yamlwalk.Quote(s.node("salinity").Raw())+" is no purified water", "at most "+amount(MaxPurified)+" where holds is purified", "write holds: saltwater, or the salinity of the purified water")
		}
	case st.Holds == Purified:
		s.assume("salinity", "0", basisPurifiedSalt)
	default:
		st.Water.Salinity = first.Water.Salinity
		s.assume("salinity", units.Trimmed(float64(first.Water.Salinity), 4), basisFirstSystem)
	}
	if s.has("temperature") {
		st.Water.Temperature = units.Celsius(s.given("temperature").Value)
		return
	}
	// A room below freezing does not make a vat of ice: the water was poured in.
	room := max(0, min(maxWater, float64(first.Ambient.Usual)))
	st.Water.Temperature = units.Celsius(room)
	s.assume("temperature", l.site.Units.Respell(units.Trimmed(room, 3)+" C", units.Quantity{Dim: units.Temperature, Value: room}), basisRoom)
}

// readStoreBackground splits what a store says of its water into substances and
// chemistry; the latter may stand beside the background or in it.
func (l *loader) readStoreBackground(s scope, st *Store) {
	st.Water.PH, st.Water.AlkalinityDKH = s.maybe("ph"), s.maybe("alkalinity")
	st.Water.CalciumMgL, st.Water.MagnesiumMgL = milli(s.maybe("calcium")), milli(s.maybe("magnesium"))
	v := s.v.get("background")
	if v == nil {
		return
	}
	named := map[string]**float64{"ph": &st.Water.PH, "alkalinity": &st.Water.AlkalinityDKH, "calcium": &st.Water.CalciumMgL, "magnesium": &st.Water.MagnesiumMgL}
	for _, item := range v.items {
		field, isChemistry := named[item.text]
		switch {
		case !isChemistry || item.bad:
		case *field != nil:
			item.node.FaultAtKey(item.text+" is given here and beside the background", "one of the two", "remove one of them")
		case item.text == "calcium" || item.text == "magnesium":
			*field = milli(&item.q.Value)
		default:
			*field = apart(item.q.Value)
		}
	}
	rest := slices.DeleteFunc(slices.Clone(v.items), func(v *val) bool { return named[v.text] != nil })
	st.Background, st.BackgroundU = l.readSubstanceList(s.sub("background"), rest)
}

// milli turns µg/L into mg/L.
func milli(ug *float64) *float64 {
	if ug == nil {
		return nil
	}
	mg := *ug / units.UgPerMg
	return &mg
}

// readSubstanceList gives values and expanded uncertainties by substance id.
func (l *loader) readSubstanceList(s scope, items []*val) (values, spreads map[string]float64) {
	if len(items) == 0 {
		return nil, nil
	}
	values = map[string]float64{}
	for _, v := range items {
		id := l.substance(v.node, v.text, true)
		if v.bad || id == "" {
			continue
		}
		if _, twice := values[id]; twice {
			v.node.FaultAtKey(id+" is given a second time", "each substance once", "remove one of them")
			continue
		}
		values[id] = v.q.Value
		if v.q.U > 0 {
			if spreads == nil {
				spreads = map[string]float64{}
			}
			spreads[id] = v.q.U
		}
		if v.q.Below {
			s.assume(id, amount(v.q.Value)+" ug/L", basisReportLimit)
		}
	}
	return values, spreads
}

// maxUnknown is for how many unknown substances the nearest known one is looked up.
const maxUnknown = 50

// substance gives the id of a substance as the tables have it, so that names and
// symbols a keeper writes are understood. One that looks like a slip is a fault;
// any other unknown one is the keeper's own and earns a warning.
func (l *loader) substance(n *yamlwalk.Node, written string, isKey bool) string {
	if id, ok := l.substances[written]; ok {
		return id
	}
	c, near, ok := refs.Contaminant{}, "", false
	if len(l.substances) < maxUnknown {
		c, near, ok = refs.FindContaminant(written)
	}
	report := n.Fault
	if isKey {
		report = n.FaultAtKey
	}
	id := c.ID
	switch {
	case ok:
	case near != "":
		report(yamlwalk.Quote(written)+" is not a known substance", "an id or symbol of the contaminant table, or a name of your own that is not so close to one", refs.DidYouMean(near))
	case !wellFormed(written):
		report(yamlwalk.Quote(written)+" cannot be a substance", idRule, "")
	default:
		id = written
		l.warn(n, "%s is not in the tables: no published criterion stands behind it", yamlwalk.Quote(written))
	}
	l.substances[written] = id
	return id
}

func (l *loader) readSalt(s scope) Salt {
	at := s.sub("dose_at")
	salt := Salt{
		ID: s.word("id"), OnHand: s.take("on_hand").q.Exact, DoseGL: s.number("dose"),
		DosePer: mixing.Basis(at.take("per").text), DoseSalinity: units.Practical(at.number("salinity")), DoseTemperature: units.Celsius(at.number("temperature")),
		BagKg: s.given("bag").Value,
	}
	if s.sound("price") {
		price := s.given("price").Exact
		salt.PricePerKg = &price
	}
	l.checkDose(s, &salt)
	makes := s.sub("makes")
	salt.Makes = Chemistry{PH: makes.maybe("ph"), AlkalinityDKH: makes.maybe("alkalinity"), CalciumMgL: milli(makes.maybe("calcium")), MagnesiumMgL: milli(makes.maybe("magnesium"))}
	salt.Background, salt.BackgroundU = l.readSubstanceList(s.sub("background"), s.items("background"))
	return salt
}

// labelSlack is by how much a label's dose may be too small before it is a slip and
// no label: labels round, and some are written for a lower salinity than they say.
const labelSlack = 0.15

// checkDose judges a dose that would need a salt of more than its own weight. A label
// that is a little too small earns a warning, and the least that can be is counted;
// less than that is refused.
func (l *loader) checkDose(s scope, salt *Salt) {
	for _, key := range []string{"dose", "dose_at"} {
		if s.has(key) && !s.sound(key) {
			return
		}
	}
	for _, key := range []string{"salinity", "temperature", "per"} {
		if at := s.sub("dose_at"); at.has(key) && !at.sound(key) {
			return
		}
	}
	_, err := salt.Dose().DryFraction()
	var impossible *mixing.DoseError
	if !errors.As(err, &impossible) {
		return
	}
	least := math.Ceil(impossible.LeastGPerL*10) / 10
	if salt.DoseGL < least*(1-labelSlack) {
		found, allowed, _ := strings.Cut(err.Error(), "; ")
		s.fault("dose", found, allowed, "")
		return
	}
	s.sub("dose").note(NoteDose, "%s g/L per %s litre cannot give salinity %s: even dry salt takes %s g/L. %s g/L is counted; weigh a test batch, or check whether the label means a lower salinity",
		amount(salt.DoseGL), salt.DosePer, amount(float64(salt.DoseSalinity)), amount(math.Ceil(impossible.LeastGPerL*100)/100), amount(least))
	salt.DoseGL = least
}

// readPurifier is nil if there is none.
func (l *loader) readPurifier(s scope) *Purifier {
	p := s.sub("purifier")
	if p.v == nil {
		s.assume("purifier", "none", basisNothingStated)
		return nil
	}
	return &Purifier{RateLH: p.given("rate").Value, RatedAt: units.Celsius(p.number("rated_at")), Feed: units.Celsius(p.number("feed")), Guards: readGuards(p)}
}

// readMixing: batches are made in saltwater stores.
func (l *loader) readMixing(s scope) Mixing {
	m := s.sub("mixing")
	out := Mixing{TimeH: m.number("time"), EmergencyTimeH: m.number("emergency_time"), CutTimeH: m.number("cut_time")}
	var vats []string
	for _, st := range l.site.Stores {
		if st.Holds == Saltwater {
			vats = append(vats, st.ID)
		}
	}
	if !m.has("in") {
		if out.In = vats; len(vats) > 0 {
			m.assume("in", some(vats), basisEveryVat)
		}
		return out
	}
	known := registerOf(vats)
	storesRead := !s.has("stores") || s.sound("stores")
	for _, v := range m.items("in") {
		if !v.bad && storesRead && l.known(v.node, v.text, "saltwater store", known) {
			out.In = append(out.In, v.text)
		}
	}
	return out
}
