package readiness

// worth is what a basket costs; 0 where something in it has no price: it is not compared by it.
func (b bench) worth(have basket) float64 {
	sum := 0.0
	for _, a := range have {
		switch c := b.cost(a); {
		case c != nil:
			sum += *c
		case !b.free(a.way):
			return 0
		}
	}
	return sum
}

// price is what one unit of a way costs; 0 where that is not known. It is that of all there could
// be, because a cost is rounded up to the hundredth.
func (b bench) price(w way) float64 {
	c := b.cost(amount{way: w, x: w.most})
	if c == nil || w.most <= 0 {
		return 0
	}
	return *c / w.most
}

// tradedIn is into how many parts the money is cut that two things are bought for.
const tradedIn = 8

// traded is a basket, or a cheaper one of two things that have a price, each for some eighths of the
// money: neither need be the least that would do beside what was found first. Where there is no hope
// for a share nothing is planned.
func traded(targets []target, best basket) basket {
	b := targets[0].bench
	cost := b.worth(best)
	if cost <= 0 {
		return best
	}
	ways := purchasable(targets)
	for i, one := range ways {
		for _, two := range ways[i+1:] {
			first, second := b.price(one), b.price(two)
			for part := 1; part < tradedIn && first > 0 && second > 0; part++ {
				money := saved * cost
				x := min(one.most, money/first*float64(part)/tradedIn)
				have := basket{{way: one, x: x}, {way: two, x: min(two.most, (money-x*first)/second)}}
				if anyHopeless(targets, have) || !allHastily(targets, have) {
					continue
				}
				if less, ok := proved(targets, shrunk(targets, have)); ok && b.worth(less) < cost && sturdy(targets, less) {
					best, cost = less, b.worth(less)
				}
			}
		}
	}
	return best
}
