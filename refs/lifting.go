package refs

// MostToLiftKg is the load constant of the revised lifting equation, in kg: the most
// a fit adult should lift, close to the body, waist high, without a twist and
// seldom. It falls quickly with repetition and reach.
//
// Source: [niosh-94-110].
const MostToLiftKg = 23.0

// How water is carried by hand: a bucket filled to BucketL litres, so that it stays well below that,
// carried one way within a room by one person in MinutesPerBucket. Common practice.
const (
	BucketL          = 10.0
	MinutesPerBucket = 1.0
)
