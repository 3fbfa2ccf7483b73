package mixing

// HelpfulPH returns the highest pH that new water may have so that the mixture has no
// more un-ionised ammonia than the water has now: what a card can print beside "read
// the vat's pH". fresh gives the litres that replace as many of now, with their
// salinity, temperature, alkalinity and total ammonia; its own pH is not looked at.
// With water of that pH total ammonia falls and NH3 stays; any lower and both fall.
//
// ok is false where the mixture cannot be worked out (outside the carbonate constants,
// BlendPH) or where even water of the system's own pH raises NH3, being warmer or
// bringing ammonia. The pH is found to 0.001 and is at most 9.5, beyond which no water
// is kept.
//
// Source: as ChangeAmmonia.
func HelpfulPH(now, fresh Ammoniacal) (pH float64, ok bool) {
	const (
		highest = 9.5
		step    = 0.001
	)
	helps := func(pH float64) bool {
		fresh.PH = pH
		c, err := ChangeAmmonia(now, fresh)
		return err == nil && c.Outside == nil && !c.Rises
	}
	low, high := now.PH, highest
	if !helps(low) {
		return 0, false
	}
	if helps(high) {
		return high, true
	}
	for high-low > step {
		if mid := low + (high-low)/2; helps(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low, true
}
