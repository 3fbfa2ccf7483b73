package site

import "strings"

// Device is a piece of equipment and the system it serves.
type Device struct {
	System    *System
	Equipment *Equipment
}

// Fed are the devices that a battery or generator of a system feeds, in the order of
// the file. A generator that names none can feed all equipment of the site.
func (s *Site) Fed(owner *System, e *Equipment) []Device {
	if e.Kind == Generator && len(e.Feeds) == 0 {
		return s.consumers()
	}
	var out []Device
	for _, name := range e.Feeds {
		sys, id := s.place(owner, name)
		if sys == nil {
			continue
		}
		for i := range sys.Equipment {
			if sys.Equipment[i].ID == id {
				out = append(out, Device{sys, &sys.Equipment[i]})
			}
		}
	}
	return out
}

// place splits what feeds names: an id of the owner's, or system/id.
func (s *Site) place(owner *System, name string) (*System, string) {
	if system, id, afar := strings.Cut(name, "/"); afar {
		return s.SystemByID(system), id
	}
	return owner, name
}

// consumers is all equipment that uses power.
func (s *Site) consumers() []Device {
	var out []Device
	for i := range s.Systems {
		for k := range s.Systems[i].Equipment {
			if e := &s.Systems[i].Equipment[k]; e.Kind != Battery && e.Kind != Generator {
				out = append(out, Device{&s.Systems[i], e})
			}
		}
	}
	return out
}

// deviceIDs are all equipment of the file as system/id.
func (l *loader) deviceIDs() []string {
	var out []string
	l.root.each("systems", func(_ int, sys scope) {
		for _, id := range sys.idsOf("equipment") {
			out = append(out, sys.word("id")+"/"+id)
		}
	})
	return out
}
