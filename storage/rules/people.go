package rules

// Strictness says what becomes of an act that a rule about people speaks
// against.
type Strictness string

// The ways to take such an act: it is not looked at, it is recorded with a flag,
// or it is refused.
const (
	Unchecked Strictness = "unchecked"
	Warned    Strictness = "warn"
	Refused   Strictness = "refuse"
)

// People are the rules about who works by the set, once people are set up.
type People struct {
	Training Strictness `toml:"training"` // an attendant who was not trained on the set; unchecked where left out
	Welders  Strictness `toml:"welders"`  // a badge that is no welder's of the shop; warn where left out
}
