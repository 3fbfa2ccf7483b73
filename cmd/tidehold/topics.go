package main

import "github.com/spf13/cobra"

// topics are help texts without a command of their own.
func topics() []*cobra.Command {
	return []*cobra.Command{
		{Use: "exit-codes", Short: "what the exit status says", Long: exitHelp},
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

± may be written +- or +/-; it is the expanded uncertainty at about 95 % (k = 2),
as laboratory reports give it. gal is the US gallon, impgal the imperial one.
ppm and ppb mean mg/L and ug/L. Numbers have a decimal point, no thousands mark,
no leading zero and no exponent.`},
	}
}
