package rules

// Advice is what a rule set lets the program say beside its limits.
type Advice struct {
	// Moisture shows an estimate of the moisture that a covering has taken up. It
	// decides nothing.
	Moisture bool `toml:"moisture"`
}
