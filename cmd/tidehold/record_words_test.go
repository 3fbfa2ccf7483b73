package main

import (
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

// Each line of a night's record tells what was entered, in the digits that its instrument has.
func TestALineOfTheRecordTellsItsEntry(t *testing.T) {
	x := func(v float64) *float64 { return &v }
	pour := func(store string, litres float64) stock.Pour {
		return stock.Pour{Store: store, Litres: decimal.NewFromFloat(litres)}
	}
	measured := pour("vat-a", 60)
	measured.Salinity, measured.TemperatureC = x(34.6), x(24)
	recorded := measured
	recorded.SalinityRecorded, recorded.TempRecorded = true, true
	read, warm := measured, measured // "24.0 °C by the record" was said of what a thermometer showed
	read.TempRecorded, warm.SalinityRecorded = true, true
	copper := []incident.Measured{{Contaminant: "copper", UgL: 12.2, U: 1.5}}
	for want, it := range map[string]incident.Item{
		"incident opened: broken-heater on hall-reef":                                {Kind: stock.Opened},
		"changed 60 L, from vat-a":                                                   {Kind: stock.Change, Pours: []stock.Pour{pour("vat-a", 60)}},
		"changed 60 L, from elsewhere":                                               {Kind: stock.Change, Pours: []stock.Pour{pour("", 60)}},
		"changed 60 L, from vat-a at salinity 34.6, 24.0 °C":                         {Kind: stock.Change, Pours: []stock.Pour{measured}},
		"changed 60 L, from vat-a at salinity 34.6, 24.0 °C by the record":           {Kind: stock.Change, Pours: []stock.Pour{recorded}},
		"changed 60 L, from vat-a at salinity 34.6 measured, 24.0 °C by the record":  {Kind: stock.Change, Pours: []stock.Pour{read}},
		"changed 60 L, from vat-a at salinity 34.6 by the record, 24.0 °C measured":  {Kind: stock.Change, Pours: []stock.Pour{warm}},
		"changed 150 L, 60 L from vat-a at salinity 34.6, 24.0 °C and 90 L from bin": {Kind: stock.Change, Pours: []stock.Pour{measured, pour("bin", 90)}},
		"read 24.7 °C, salinity 34.9":                                                {Kind: stock.Reading, Values: &incident.Values{TempC: x(24.7), Salinity: x(34.9)}},
		"read pH 8.05, alkalinity 7.8 dKH, oxygen 6.1 mg/L, copper 12.2 ± 1.5 µg/L":  {Kind: stock.Reading, Values: &incident.Values{PH: x(8.05), AlkalinityDKH: x(7.8), OxygenMgL: x(6.1)}, Results: copper},
		"copper 12.2 ± 1.5 µg/L":                                                     {Kind: stock.Result, Results: copper},
		"copper 12.2 ± 1.5 µg/L (report 7)":                                          {Kind: stock.Result, Results: copper, Report: "7"},
		"copper <2.00 µg/L":                                                          {Kind: stock.Result, Results: []incident.Measured{{Contaminant: "copper", UgL: 2, Below: true}}},
		"incident closed":                                                            {Kind: stock.Closed},
		"incident closed: all calm":                                                  {Kind: stock.Closed, Text: "all calm"},
		"the lid was off":                                                            {Kind: stock.Remark, Text: "the lid was off"},
	} {
		l := incident.Log{}
		l.Opening.Name, l.Opening.System = "broken-heater", "hall-reef"
		if got := itemText(l, it, units.Metric); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
