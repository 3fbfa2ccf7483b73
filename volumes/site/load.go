package site

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

// Load reads a site file. name is what its faults are called by. It returns the
// site with every default filled in and listed, or nil and every fault found.
// Apart from the time zone named in the file, which is looked up in the system's
// database, the result depends on data alone.
func Load(name string, data []byte) (*Site, []yamlwalk.Fault) {
	return LoadWith(name, data, nil)
}

// LoadWith reads a site file with some values replaced, each given as PATH=VALUE
// with ids in the path: stores.vat-a.volume=200L. Values are checked as if they
// stood in the file; their faults name the flag, --set, in place of a line.
func LoadWith(name string, data []byte, sets []string) (*Site, []yamlwalk.Fault) {
	doc := yamlwalk.Parse(name, data)
	if doc.Root == nil {
		return nil, doc.Faults()
	}
	return load(doc, sets)
}

// load turns what was parsed into a site, which keeps nothing of it.
func load(doc *yamlwalk.Doc, sets []string) (*Site, []yamlwalk.Fault) {
	keys := siteKeys()
	var replaced []refs.Place
	for _, s := range sets {
		replaced = append(replaced, set(doc, keys, s))
	}
	l := &loader{checker: checker{doc: doc}, site: &Site{}, parsed: map[*preset]*val{}, substances: map[string]string{}}
	root := scope{l: l, spec: keys, v: l.read(doc.Root, keys)}
	if doc.Full() {
		return nil, doc.Faults() // a hostile file costs no more than reading it
	}
	l.root = root
	l.unique(root)
	l.readSite(root)
	if faults := doc.Faults(); len(faults) > 0 {
		return nil, faults
	}
	l.site.Warnings = append(l.warnings, l.site.Warnings...)
	l.site.Replaced = replaced
	return l.site, nil
}

// readSite fills the model in file order; what refers to other things comes after
// them.
func (l *loader) readSite(s scope) {
	site := l.site
	l.readHead(s)
	s.each("systems", func(_ int, item scope) { site.Systems = append(site.Systems, l.readSystem(item)) })
	l.systems = registerOf(l.systemIDs())
	s.each("stores", func(_ int, item scope) { site.Stores = append(site.Stores, l.readStore(s, item)) })
	s.each("salts", func(_ int, item scope) { site.Salts = append(site.Salts, l.readSalt(item)) })
	site.Purifier = l.readPurifier(s)
	site.Mixing = l.readMixing(s)
	site.Reserve = Reserve{
		Saltwater: units.Litres(s.sub("reserve").number("saltwater")),
		Purified:  units.Litres(s.sub("reserve").number("purified")),
	}
	if r := s.sub("reserve"); r.has("pour_away") {
		site.Reserve.KeepsStored = !r.v.get("pour_away").yes
	}
	s.each("routine", func(_ int, item scope) { site.Routine = append(site.Routine, l.readRoutine(item)) })
	s.each("deliveries", func(_ int, item scope) { site.Deliveries = append(site.Deliveries, l.readDelivery(item)) })
	if a := s.sub("awake"); a.v != nil {
		site.Awake = &Awake{FromH: a.hourOfDay("from"), ToH: a.hourOfDay("to")}
		if a.sound("from") && a.sound("to") && site.Awake.FromH == site.Awake.ToH {
			a.fault("to", "awake from and to the same time", "two times of day", "leave awake out for any hour")
		}
	}
	s.each("media", func(_ int, item scope) { site.Media = append(site.Media, l.readMedia(item)) })
	s.each("kit", func(_ int, item scope) {
		site.Kit = append(site.Kit, KitItem{Item: item.word("item"), Need: item.take("need").n, Have: item.take("have").n, Expires: item.day("expires")})
	})
	s.each("drills", func(_ int, item scope) {
		site.Drills = append(site.Drills, Drill{What: item.word("what"), EveryH: item.number("every"), Done: item.day("done")})
	})
	s.each("contacts", func(_ int, item scope) {
		site.Contacts = append(site.Contacts, Contact{Role: item.word("role"), Name: item.word("name"), Phone: item.word("phone")})
	})
	l.readEvents(s)
	l.readTogether(s)
	l.judge(s)
}

// readHead reads what concerns the whole site.
func (l *loader) readHead(s scope) {
	l.site.Name = s.take("name").text
	if s.take("units").text == "us" {
		l.site.Units = units.US
	}
	l.site.Currency = s.word("currency")
	zone := s.take("time_zone").text
	location, err := time.LoadLocation(zone)
	if err != nil || zone == "Local" || zone == "" {
		location = time.UTC
		if s.sound("time_zone") {
			s.fault("time_zone", yamlwalk.Quote(zone)+" is not a known time zone", "an IANA name as Atlantic/Azores, or UTC", "")
		}
	}
	l.site.TimeZone = location
}

// unique insists that ids tell things apart.
func (l *loader) unique(s scope) {
	for _, f := range s.spec.fields {
		if f.form == list && f.item.form == mapping && f.item.at("id") >= 0 {
			l.uniqueIDs(s.items(f.key), f.key)
		}
	}
	for _, system := range s.items("systems") {
		for _, key := range []string{"parts", "equipment"} {
			if v := system.get(key); v != nil {
				l.uniqueIDs(v.items, key)
			}
		}
	}
}

func (l *loader) uniqueIDs(items []*val, list string) {
	seen := map[string]int{}
	for _, item := range items {
		id := item.get("id")
		if id == nil || id.bad {
			continue
		}
		if line, twice := seen[id.text]; twice {
			place := fmt.Sprintf(" (line %d)", line)
			if line == 0 {
				place = ""
			}
			id.node.Fault(yamlwalk.Quote(id.text)+" is already an id in "+list+place, "each id once", "")
			continue
		}
		seen[id.text] = id.node.Line()
	}
}

// register is a list of ids that names are looked up in.
type register struct {
	ids []string
	at  map[string]int
}

func registerOf(ids []string) register {
	r := register{ids: ids, at: make(map[string]int, len(ids))}
	for i, id := range ids {
		if _, twice := r.at[id]; !twice {
			r.at[id] = i
		}
	}
	return r
}

// known checks that a name is one of those that exist; what is "system", "store"…
func (l *loader) known(n *yamlwalk.Node, id, what string, r register) bool {
	if _, ok := r.at[id]; ok {
		return true
	}
	if len(r.ids) == 0 {
		n.Fault(yamlwalk.Quote(id)+" names "+units.An(what)+", but there is none", units.An(what)+" of this file", "")
		return false
	}
	hint := ""
	if near, ok := refs.Nearest(id, r.ids[:min(len(r.ids), maxNear)]); ok {
		hint = refs.DidYouMean(near)
	}
	n.Fault("there is no "+what+" "+yamlwalk.Quote(id), "allowed: "+some(r.ids), hint)
	return false
}

// maxNear bounds among how many ids the nearest one is looked for.
const maxNear = 200

// some lists the first ten of many.
func some(ids []string) string {
	if len(ids) > 10 {
		return strings.Join(ids[:10], ", ") + fmt.Sprintf(" and %d more", len(ids)-10)
	}
	return strings.Join(ids, ", ")
}

// idsOf lists the ids of a list; malformed ones too, which have been reported.
func (s scope) idsOf(key string) []string {
	var out []string
	for _, v := range s.items(key) {
		if id := v.get("id"); id != nil && id.text != "" {
			out = append(out, id.text)
		}
	}
	return out
}
