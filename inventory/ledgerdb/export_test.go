package ledgerdb

// The questions whose plans are tested.
const (
	FactByID      = factByID
	FactThatNamed = factThatNamed
	FactsAfter    = factsAfter
	FactsNewest   = factsNewest
)
