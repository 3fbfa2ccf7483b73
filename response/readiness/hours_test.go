package readiness

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// quay is a house whose keeper sleeps: what is ready, how far to bring it down and within what.
const quay = `format: 1
awake: {from: %s, to: %s}
time_zone: %s
systems: [{id: tank, net_volume: 400 L, drawdown: %d %%, change_every: %d h, water: {salinity: 35, temperature: 25 C}}, {id: other, net_volume: 100 L, drawdown: 50 %%, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}]
stores:
  - {id: vat, holds: saltwater, capacity: 900 L, volume: %d L, salinity: 35, temperature: 25 C, transfer: 3000 L/h}
  - {id: butt, holds: purified, capacity: 200 L, volume: 150 L, temperature: 25 C, filled_by: purifier}
salts: [{id: house, on_hand: 20 kg, dose: 38 g/L, dose_at: {salinity: 35, temperature: 25 C, per: finished}}]
purifier: {rate: 10 L/h, feed: 25 C}
events: [{id: spill, system: tank, remove: %d %%, within: %d h}, {id: dose, system: other, remove: 60 %%, within: 12 h}]
together: [[spill, dose]]
`

// TestLateAtOtherHours: the hours named are those at which the same house, asked at that hour, is late.
func TestLateAtOtherHours(t *testing.T) {
	late, tried, slept := 0, 0, 0
	for n := range outside.Cases(120, 12, 8) {
		wake, bed := []string{"06:30", "07:00", "09:00", "18:00"}[n%4], []string{"22:00", "23:15", "17:00", "08:00"}[n%4]
		zone := []string{"UTC", "Asia/Kathmandu"}[n/4%2]
		text := fmt.Sprintf(quay, wake, bed, zone, []int{25, 40}[n/2%2], []int{4, 6, 12}[n%3], 200+50*(n%9), 40+10*(n%5), []int{12, 24, 30}[n/3%3])
		s := load(t, text)
		at := atHour(s, (3+5*n)%hoursOfDay)
		r, err := Judge(s, at, Options{Brief: true})
		if err != nil {
			t.Fatal(err)
		}
		check := func(ids []string, v Verdict, hours []int, awake bool, of func(Result) Verdict) {
			if v != Covered {
				up := *s
				up.Awake = nil
				is, err := Judge(&up, at, Options{Brief: true})
				if err != nil || awake != (of(is) == Covered) {
					t.Errorf("house %d: %v in time if awake %v; without sleep it is %s, %v\n%s", n, ids, awake, of(is), err, text)
				}
				if awake {
					slept++
				}
				if hours != nil {
					t.Errorf("house %d: %v is %s as of now, and late at %v", n, ids, v, hours)
				}
				return
			}
			if hours == nil {
				t.Errorf("house %d: %v was not looked at", n, ids)
			}
			for h := n % 4; h < hoursOfDay; h += 4 { // each hour in some house
				begun := atHour(s, h)
				is, err := Judge(s, begun, Options{Brief: true})
				if err != nil {
					t.Fatal(err)
				}
				if got := of(is) != Covered; got != slices.Contains(hours, h) {
					t.Errorf("house %d: %v begun %s is %s; named are %v\n%s", n, ids, begun, of(is), hours, text)
				}
				tried++
			}
			late += len(hours)
		}
		for i, e := range r.Events {
			check([]string{e.ID}, e.Verdict, e.LateAtHours, e.InTimeIfAwake, func(r Result) Verdict { return r.Events[i].Verdict })
		}
		x := r.Together[0]
		check(x.Events, x.Verdict, x.LateAtHours, x.InTimeIfAwake, func(r Result) Verdict { return r.Together[0].Verdict })
	}
	if t.Logf("%d asked again, %d late hours, %d late for sleep", tried, late, slept); late == 0 || tried < outside.Cases(900, 100, 60) || slept == 0 && !outside.UnderRace {
		t.Errorf("%d hours are late of %d that were asked again, %d late for sleep", late, tried, slept)
	}
}

// atHour is the next moment at which the site's clock shows a full hour.
func atHour(s *site.Site, hour int) time.Time {
	in := now.In(s.TimeZone)
	begun := time.Date(in.Year(), in.Month(), in.Day(), hour, 0, 0, 0, s.TimeZone)
	if begun.Before(now) {
		begun = begun.AddDate(0, 0, 1)
	}
	return begun
}

// TestNobodySleeps: there is no hour to look at, nor where more is asked than is looked at.
func TestNobodySleeps(t *testing.T) {
	for _, e := range judged(t, twoTanks).Events {
		if e.LateAtHours != nil {
			t.Errorf("%s: %v", e.ID, e.LateAtHours)
		}
	}
	text := "format: 1\nawake: {from: 07:00, to: 22:00}\nsystems: [{id: tank, net_volume: 100 L, water: {salinity: 35, temperature: 25 C}}]\n" +
		"stores: [{id: vat, holds: saltwater, capacity: 300 L, volume: 200 L, salinity: 35, temperature: 25 C}]\nevents:\n"
	for n := range mostAtHours + 1 {
		if n == mostAtHours {
			for _, e := range judged(t, text).Events {
				if e.LateAtHours == nil || len(e.LateAtHours) > 0 {
					t.Errorf("%s: %v", e.ID, e.LateAtHours)
				}
			}
		}
		text += fmt.Sprintf("  - {id: e%d, system: tank, remove: 10 %%, within: 6 h}\n", n)
	}
	for _, e := range judged(t, text).Events {
		if e.LateAtHours != nil {
			t.Errorf("of %d events %s: %v", mostAtHours+1, e.ID, e.LateAtHours)
		}
	}
}

// TestWhoGetsUpIsInTime: a plan that is in time for those who sleep is one for those who do not, so what
// is late at other hours is so for the night's wait alone.
func TestWhoGetsUpIsInTime(t *testing.T) {
	s := load(t, fmt.Sprintf(quay, "07:00", "22:00", "UTC", 25, 6, 350, 50, 20))
	r, err := Judge(s, now, Options{Brief: true})
	if err != nil {
		t.Fatal(err)
	}
	late := 0
	s.Awake = nil
	for i, e := range r.Events {
		for _, h := range e.LateAtHours {
			late++
			if is, err := Judge(s, atHour(s, h), Options{Brief: true}); err != nil || is.Events[i].Verdict != Covered {
				t.Errorf("%s begun at %d: %v, %v", e.ID, h, is.Events[i].Verdict, err)
			}
		}
	}
	if late == 0 {
		t.Error("nothing is late at another hour")
	}
}

// TestWhatIsBoughtAtOtherHours: what is late then with the list is so where the house that has it is asked
// at that hour.
func TestWhatIsBoughtAtOtherHours(t *testing.T) {
	text := fmt.Sprintf(quay, "07:00", "22:00", "UTC", 25, 6, 150, 50, 20)
	text = text[:strings.Index(text, "  - {id: butt")] + text[strings.Index(text, "events:"):]
	r := judged(t, text)
	if len(r.Shopping) != 1 || r.Shopping[0].What != StoredSaltwater || r.Shopping[0].NeedsRoomL > 0 || r.LateThen == nil {
		t.Fatalf("%+v, then late %+v", r.Shopping, r.LateThen)
	}
	late := map[string][]int{}
	for _, l := range r.LateThen {
		late[plan.AllOf(l.Events)] = l.LateAtHours
	}
	s := load(t, text)
	s.Stores[0].Volume = s.Stores[0].Volume.Add(decimal.NewFromFloat(r.Shopping[0].Amount))
	named := 0
	for h := range hoursOfDay {
		is, err := Judge(s, atHour(s, h), Options{Brief: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range is.Events {
			if (e.Verdict != Covered) != slices.Contains(late[e.ID], h) {
				t.Errorf("%s begun at %d with what is bought is %s; late are %v", e.ID, h, e.Verdict, late[e.ID])
			}
		}
		if x := is.Together[0]; (x.Verdict != Covered) != slices.Contains(late[plan.AllOf(x.Events)], h) {
			t.Errorf("%v begun at %d with what is bought is %s; late are %v", x.Events, h, x.Verdict, late)
		}
	}
	for _, hours := range late {
		named += len(hours)
	}
	if t.Logf("%v", late); named == 0 {
		t.Error("nothing is late at another hour")
	}
}
