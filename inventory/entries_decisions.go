package inventory

// Proposed is what somebody proposes to do with stock that no rule decides. It
// waits until another person with QA's authority approves or rejects it.
type Proposed struct {
	Proposal    string     `json:"proposal,omitempty"` // its code; given by the program where left out
	Lot         string     `json:"lot,omitempty"`      // one of lot, bundle and slip
	Bundle      string     `json:"bundle,omitempty"`
	Slip        string     `json:"slip,omitempty"` // the rods that are out on it
	Disposition string     `json:"disposition"`    // "release", "bake", "discard", or of a lot "extend"
	Until       string     `json:"until,omitempty"`
	Why         string     `json:"why"`
	Evidence    *Reference `json:"evidence,omitempty"`
}

// Kind implements Entry.
func (*Proposed) Kind() string { return "propose" }

// Reference names a paper or a file that something rests on.
type Reference struct {
	Reference string `json:"reference"`
	Digest    string `json:"digest,omitempty"` // SHA-256 of the file, hexadecimal
}

// Decision is QA's disposition of stock that no rule decides: of a proposal, or
// of a bundle with the proposer named.
type Decision struct {
	Proposal    string `json:"proposal,omitempty"` // what follows is that of the proposal
	Lot         string `json:"lot,omitempty"`
	Bundle      string `json:"bundle,omitempty"`
	Disposition string `json:"disposition"` // "release", "bake", "discard", or of a lot "extend"
	Until       string `json:"until,omitempty"`
	Reference   string `json:"reference,omitempty"` // of the test that an extension rests on
	Why         string `json:"why"`
	Proposer    string `json:"proposer"` // another person than who records it
	Rejected    bool   `json:"rejected,omitempty"`
}

// Kind implements Entry.
func (*Decision) Kind() string { return "decide" }

// Noted is something that was seen of stock: a spot check, a complaint.
type Noted struct {
	Bundle string `json:"bundle,omitempty"` // one of bundle and slip
	Slip   string `json:"slip,omitempty"`
	What   Sight  `json:"what"`
	Words  string `json:"words,omitempty"`
	SeenBy string `json:"seen_by,omitempty"` // who saw it, where it is not who records it
}

// Kind implements Entry.
func (*Noted) Kind() string { return "note" }

// Sight is what was seen, in one word for counting.
type Sight string

// What is seen: a spot check that found nothing, rods out by the handful, and
// what welders complain of.
const (
	SpotCheck       Sight = "spot-check"
	Handful         Sight = "handful"
	Porosity        Sight = "porosity"
	UnevenBurn      Sight = "uneven-burn"
	CrackedCovering Sight = "cracked-covering"
	OtherSight      Sight = "other"
)

// Sights are all that can be seen.
func Sights() []Sight {
	return []Sight{SpotCheck, Handful, Porosity, UnevenBurn, CrackedCovering, OtherSight}
}

// Complaint reports whether it speaks against the rods themselves.
func (s Sight) Complaint() bool { return s == Porosity || s == UnevenBurn || s == CrackedCovering }
