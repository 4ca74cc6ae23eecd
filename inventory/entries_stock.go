package inventory

// Received is stock of one lot that came in as one bundle.
type Received struct {
	Lot      string `json:"lot"`
	Class    string `json:"class"`
	Spec     string `json:"spec,omitempty"` // where the class alone is ambiguous
	Diameter string `json:"diameter,omitempty"`
	Length   string `json:"length,omitempty"`
	Maker    string `json:"maker,omitempty"`
	Product  string `json:"product,omitempty"` // what the maker calls it
	Package  string `json:"package"`
	Seal     string `json:"seal,omitempty"` // "intact" or "broken"; intact where left out
	Bundle   string `json:"bundle,omitempty"`
	Pieces   Count  `json:"pieces,omitempty"`
	Mass     string `json:"mass,omitempty"` // of wire and flux
	Net      string `json:"net,omitempty"`  // net mass on the label of counted stock
	Into     string `json:"into,omitempty"`
	Price    string `json:"price,omitempty"` // of one rod, or of one kilogram of weighed stock: "0.42 EUR"

	Certificate     string `json:"certificate,omitempty"`
	CertificateKind string `json:"certificate_kind,omitempty"`
	Owner           string `json:"owner,omitempty"`     // whose it is; empty: the shop's own
	LotClass        string `json:"lot_class,omitempty"` // how the maker parts production into lots, "C3"
	Schedule        string `json:"schedule,omitempty"`  // the level of testing that was ordered, "F"
	Made            string `json:"made,omitempty"`
	Expires         string `json:"expires,omitempty"`

	Existing bool   `json:"existing,omitempty"` // it lay on a shelf at the first stock-take
	Use      string `json:"use,omitempty"`      // "practice": under no exposure control, and for no code job ever
	Found    string `json:"found,omitempty"`    // the state it was found in

	Act
}

// Kind implements Entry.
func (*Received) Kind() string { return "receive" }

// LotReleased lets a lot go out.
type LotReleased struct {
	Lot  string `json:"lot"`
	Note string `json:"note,omitempty"`

	// What QA saw of a lot that was found at the first stock-take.
	Label       string `json:"label,omitempty"`
	Certificate string `json:"certificate,omitempty"`
	Package     string `json:"package,omitempty"`
}

// Kind implements Entry.
func (*LotReleased) Kind() string { return "release" }

// HeldBack stops a lot or one bundle until QA has decided.
type HeldBack struct {
	Lot    string `json:"lot,omitempty"`
	Bundle string `json:"bundle,omitempty"`
	Why    string `json:"why"`
}

// Kind implements Entry.
func (*HeldBack) Kind() string { return "hold" }

// Opened breaks a package's seal.
type Opened struct {
	Bundle string `json:"bundle"`
	Into   string `json:"into,omitempty"`
	Cold   bool   `json:"cold,omitempty"` // it came from a place colder than the room
	Rack   string `json:"rack,omitempty"` // of the place
	Layers Count  `json:"layers,omitempty"`

	Act
}

// Kind implements Entry.
func (*Opened) Kind() string { return "open" }

// Moved puts a bundle, or some of it as a new one, somewhere else.
type Moved struct {
	Bundle string `json:"bundle"`
	Into   string `json:"into"`
	Rack   string `json:"rack,omitempty"` // of the place
	Layers Count  `json:"layers,omitempty"`
	Pieces Count  `json:"pieces,omitempty"` // zero: all
	Mass   string `json:"mass,omitempty"`
	As     string `json:"as,omitempty"`

	Act
}

// Kind implements Entry.
func (*Moved) Kind() string { return "move" }

// Joined makes one bundle of several of one lot, with the worst of each
// history.
type Joined struct {
	Bundles []string `json:"bundles"`
	As      string   `json:"as,omitempty"`

	Act
}

// Kind implements Entry.
func (*Joined) Kind() string { return "join" }

// Baked puts a bundle in a bake oven. The run ends when it is moved.
type Baked struct {
	Bundle string `json:"bundle"`
	Place  string `json:"place"`
	Rack   string `json:"rack,omitempty"`
	Set    string `json:"set"` // the chosen temperature
	Layers Count  `json:"layers,omitempty"`
	Load   string `json:"load,omitempty"`  // mass of the whole load
	Depth  string `json:"depth,omitempty"` // of a layer of flux

	Act
}

// Kind implements Entry.
func (*Baked) Kind() string { return "bake" }

// WentWet says that rods got wet.
type WentWet struct {
	Bundle string `json:"bundle"`

	Act
}

// Kind implements Entry.
func (*WentWet) Kind() string { return "wet" }

// Scrapped takes pieces out for good.
type Scrapped struct {
	Bundle string   `json:"bundle"`
	Pieces Count    `json:"pieces,omitempty"` // zero: all
	Mass   string   `json:"mass,omitempty"`
	Why    string   `json:"why,omitempty"`
	Judged *Verdict `json:"judged,omitempty"` // what the rule set said of them then

	Act
}

// Kind implements Entry.
func (*Scrapped) Kind() string { return "scrap" }

// Counted is a physical count of a bundle. The difference is kept.
type Counted struct {
	Bundle string `json:"bundle"`
	Pieces Count  `json:"pieces"`
	Mass   string `json:"mass,omitempty"`
	Why    string `json:"why,omitempty"`

	Act
}

// Kind implements Entry.
func (*Counted) Kind() string { return "count" }
