package readiness

// Remedy is a kind of thing to have more of.
type Remedy string

// The remedies, in the order of effort by which they are listed where no prices
// decide: what can be bought or made this week first, what has to be built next,
// and last to ask for less.
const (
	MoreSalt        Remedy = "salt"
	StoredPurified  Remedy = "stored-purified"
	StoredSaltwater Remedy = "stored-saltwater"
	VatHeater       Remedy = "vat-heater"
	PurifierRate    Remedy = "purifier-rate"
	VatCapacity     Remedy = "vat-capacity"
	MoreTime        Remedy = "more-time"
)
