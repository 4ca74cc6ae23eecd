package inventory

// JointSet says what a joint asks of its filler. A later one of the same name
// stands in its place from then on; what went out before is judged by what
// stood then.
type JointSet struct {
	Joint       string   `json:"joint"`
	Job         string   `json:"job,omitempty"`
	Procedure   string   `json:"procedure,omitempty"` // the welding procedure's number
	Classes     []string `json:"classes,omitempty"`   // that the procedure allows; none: any
	Diameters   []string `json:"diameters,omitempty"` // that the procedure allows; none: any
	BaseMetal   string   `json:"base_metal,omitempty"`
	Service     string   `json:"service,omitempty"`
	Pass        string   `json:"pass,omitempty"`    // "root", "multi" ..., where a rule asks
	Welders     []string `json:"welders,omitempty"` // on the joint's card; none: any
	HeatTreated bool     `json:"heat_treated,omitempty"`
	HeatTime    string   `json:"heat_time,omitempty"` // at temperature in all, "8h"; the filler's test must cover it
	Note        string   `json:"note,omitempty"`
}

// Kind implements Entry.
func (*JointSet) Kind() string { return "joint" }

// JobSet says what a job asks of all its filler. A later one of the same name
// stands in its place from then on.
type JobSet struct {
	Job         string   `json:"job"`
	Rules       string   `json:"rules,omitempty"`        // the rule set it runs under, as use-rules for the job
	Certificate string   `json:"certificate,omitempty"`  // the least kind of document: 2.1, 2.2, 3.1 or 3.2
	Actual      bool     `json:"actual,omitempty"`       // results of the lot itself, not typical ones
	MaxTestAge  string   `json:"max_test_age,omitempty"` // of a test when the lot was received: "12 months"
	Approvals   []string `json:"approvals,omitempty"`    // other approvals that the papers must show
	Owner       string   `json:"owner,omitempty"`        // who supplies the filler; empty: the shop
	Note        string   `json:"note,omitempty"`
}

// Kind implements Entry.
func (*JobSet) Kind() string { return "job" }

// CertificateSet is a paper that came with a lot. A later one of the same lot
// and number stands in its place.
type CertificateSet struct {
	Lot       string   `json:"lot"`
	Number    string   `json:"number"`
	SortKind  string   `json:"kind,omitempty"`      // 2.1, 2.2, 3.1 or 3.2
	Actual    bool     `json:"actual,omitempty"`    // results of this lot; else they are typical
	Tested    string   `json:"tested,omitempty"`    // the day of the test
	Condition string   `json:"condition,omitempty"` // "as welded", "heat treated" or "both"
	HeatTime  string   `json:"heat_time,omitempty"` // at temperature, of the heat-treated test
	Approvals []string `json:"approvals,omitempty"` // approvals that the paper shows
	Digest    string   `json:"digest,omitempty"`    // SHA-256 of the file, hexadecimal
	Rejected  string   `json:"rejected,omitempty"`  // why the paper is not taken: one of the reasons
	Note      string   `json:"note,omitempty"`
}

// Kind implements Entry.
func (*CertificateSet) Kind() string { return "certificate" }

// TurnedAway is an issue that a joint's or a job's rule refused: who asked, for
// what, and why not. It moves no rods.
type TurnedAway struct {
	Code     Code     `json:"code"`
	Subject  string   `json:"subject,omitempty"`
	Why      string   `json:"why"`
	Rule     string   `json:"rule,omitempty"`
	Welder   string   `json:"welder"`
	Bundle   string   `json:"bundle,omitempty"`
	Class    string   `json:"class,omitempty"`
	Diameter string   `json:"diameter,omitempty"`
	Pieces   Count    `json:"pieces,omitempty"`
	Mass     string   `json:"mass,omitempty"`
	Job      string   `json:"job,omitempty"`
	Joints   []string `json:"joints,omitempty"`
}

// Kind implements Entry.
func (*TurnedAway) Kind() string { return "turned-away" }
