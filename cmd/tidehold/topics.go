package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// topics are help texts without a command of their own.
func topics() []*cobra.Command {
	return []*cobra.Command{
		{Use: "exit-codes", Short: "what the exit status says", Long: exitHelp + `

A script can rely on it: 3 means that the question was answered, and the answer is
no (not enough water, too late, a result too high). A refusal is 2, with what was
found, where, what is allowed and the nearest fix on standard error.`},
		{Use: "quantities", Short: "how amounts, units and uncertainties are written", Long: `A quantity is a number, a unit and, where known, an uncertainty, with or without
blanks: 640 L, 170 gal, 78 F, 35 or 35 ppt (practical salinity), 1.0264 sg,
1.0264 sg@60F/60F, 53.1 mS/cm, 8.2 dKH, 2.9 meq/L, 120 ± 15 ug/L, 640 L ± 8 %,
<2 ug/L (below a reporting limit), 4 h, 3 d, 1500 L/h, 0.5 mg/h, 45 %.

Where a salinity is asked for, a specific gravity needs its pair of temperatures
(1.0264 sg@60F/60F) and is taken at that pair: the water was at the first
temperature. For a float read in water of another temperature, and for a gravity
without its pair, use "tidehold salinity".
A salinity above 1 and up to 1.050 without a unit is refused,
since it may be a gravity: write 1.03 ppt for water that is nearly fresh.

± may be written +- or +/-; it is the range that holds the value in about 95 of 100
cases, as laboratory reports give it. gal is the US gallon, impgal the imperial one.
ppm and ppb mean mg/L and ug/L. Numbers have a decimal point, no thousands mark,
no leading zero and no exponent.`},
		{Use: "units", Short: "which units are understood, and which are shown", Long: unitsHelp()},
		{Use: "site-file", Short: "what the site file holds, and how to begin it", Long: siteFileHelp},
		{Use: "verdicts", Short: "what covered, late, short and the other verdicts mean", Long: verdictsHelp},
	}
}

// unitsHelp lists the units by kind of quantity, from the table that reads them.
func unitsHelp() string {
	var b strings.Builder
	b.WriteString("Input may be in any of these, mixed as you like; --units metric or us chooses what is\nshown (default: units: of the site file). The first is the one the tool reckons in.\n\n")
	for _, r := range unitList() {
		accepted := strings.Join(r.Accepted, ", ")
		switch {
		case accepted != "":
		case strings.Contains(r.Quantity, "salinity"):
			accepted = "a bare number, or ppt"
		default:
			accepted = "a bare number"
		}
		b.WriteString("  " + r.Quantity + ": " + accepted + "\n")
	}
	return b.String()
}

const siteFileHelp = `The site file is YAML that you write and the tool never changes. These three lines
are enough; what is left out takes a default, and "tidehold check" lists each with
its basis:

  format: 1
  systems: [{id: tank, net_volume: 400 L}]
  stores: [{id: vat, holds: saltwater, volume: 150 L}]

"tidehold init" writes a longer, commented file; "tidehold init --ask" asks for what
matters. "tidehold schema --keys" lists every key with what it allows,
"tidehold schema" is a JSON Schema for your editor. "tidehold check" reports every
fault of a file at once, as file:line:column.

What changes day to day (water drawn, batches mixed, kit used) is entered with
"tidehold stock" and kept in journal.jsonl beside the file. --set path=value asks
"what if", by ids: --set stores.vat.volume=300L.`

const verdictsHelp = `Of an event (tidehold ready), from best to worst:

  covered      done within the time allowed
  late         done later, with what exists or can be made
  unknown      something is missing, and named
  short        never done, for want of water
  unreachable  the target lies below what any number of changes leads to

Of a laboratory result (tidehold assess), with its ± counted; the second word stands
in JSON and CSV:

  TOO HIGH    above             all of it lies above the level that judges it
  UNSURE      undecided         the ± or the reporting limit reaches across it
  FAR OFF     far-from-natural  far from natural, and no level published
  fine        below             all of it lies below
  not judged  not-judged        no level, and not far from natural

Of water on hand (tidehold stock): ready; tested (its age counts from the test); no
date (counted, though nobody noted when it was mixed); over age (not counted until it is tested); empty (nothing above what
is left at the bottom).

"At least" and "at most" round to the safe side: what is needed is rounded up, what is
on hand down.`
