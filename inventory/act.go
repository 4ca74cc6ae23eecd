package inventory

// Act is what every act at the window may carry: who did it where another
// records it, and that a rule was overridden.
type Act struct {
	Actor    string     `json:"actor,omitempty"` // who did it, where it is not who records it
	Override *Override  `json:"override,omitempty"`
	Overrode []Overrode `json:"overrode,omitempty"` // the program writes what would have been refused
	Flags    []Flag     `json:"flags,omitempty"`    // the program writes what is to be looked at
}

// Acted returns the act of an entry that has one.
func (a *Act) Acted() *Act { return a }

// Override asks for what a rule refuses. Who records it has the authority; the
// proposer is another person.
type Override struct {
	Why      string `json:"why"`
	Proposer string `json:"proposer"`
}

// Overrode is a refusal that was overridden, as it would have been.
type Overrode struct {
	Code    Code   `json:"code"`
	Subject string `json:"subject,omitempty"`
	Why     string `json:"why"`
	Value   string `json:"value,omitempty"`
	Limit   string `json:"limit,omitempty"`
	Rule    string `json:"rule,omitempty"`
	Source  string `json:"source,omitempty"`
}

// Flag marks an act that was recorded and is to be looked at.
type Flag struct {
	Code Code   `json:"code"`
	Why  string `json:"why"`
}

// ActOf returns what an entry carries as an act; nil for one that is none.
func ActOf(e Entry) *Act {
	if a, ok := e.(interface{ Acted() *Act }); ok {
		return a.Acted()
	}
	return nil
}
