package inventory

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ovenward/inventory/measure"
)

// Demand is what a job, or a row of a rule set, asks of a lot's papers.
type Demand struct {
	By        string // "job A", or the row with its rule set
	Source    string
	Kind      PaperKind
	Actual    bool
	MaxAge    Age
	Approvals []string
}

// Demand reads what a job asks of papers. The error is a *Refusal that names
// the field.
func (e *JobSet) Demand() (d Demand, err error) {
	d = Demand{By: "job " + e.Job, Actual: e.Actual, Approvals: e.Approvals}
	if d.Kind, err = ParsePaperKind(e.Certificate); err != nil {
		return d, err
	}
	d.MaxAge, err = ParseAge(e.MaxTestAge)
	return d, err
}

// Asks reports whether anything is asked for.
func (d Demand) Asks() bool { return d.Kind != "" || d.Actual || len(d.Approvals) > 0 }

// Words says what is asked for, without the age of a test: "3.1 with actual results".
func (d Demand) Words() string {
	var parts []string
	if d.Kind != "" {
		parts = append(parts, string(d.Kind)+" or better")
	}
	if d.Actual {
		parts = append(parts, "results of this lot")
	}
	if len(d.Approvals) > 0 {
		parts = append(parts, "approval "+strings.Join(d.Approvals, ", "))
	}
	return strings.Join(parts, ", ")
}

// takes reports whether one paper answers the demand. Approvals may stand on
// another one.
func (d Demand) takes(p Paper) bool {
	return p.Rejected == "" && p.Kind.rank() >= d.Kind.rank() && (p.Actual || !d.Actual)
}

// Refuse refuses a lot whose papers do not answer the demand; both are named.
func (d Demand) Refuse(l Lot, papers []Paper) error {
	if !d.Asks() || (d.answered(papers) && d.approved(papers)) {
		return nil
	}
	have := "no certificate"
	if len(papers) > 0 {
		names := make([]string, len(papers))
		for i, p := range papers {
			names[i] = p.Words()
		}
		have = strings.Join(names, "; ")
	}
	return &Refusal{Code: CertificateCode, Subject: l.Code, Value: have, Limit: d.Words(), Rule: d.By, Source: d.Source,
		Why:  fmt.Sprintf("lot %s has %s; %s asks for %s", l.Code, have, d.By, d.Words()),
		Next: "offer another lot, or enter the right paper: ovenward lot certificate add " + l.Code}
}

// answered: a demand for approvals alone asks for no paper beside them.
func (d Demand) answered(papers []Paper) bool {
	return (d.Kind == "" && !d.Actual) || slices.ContainsFunc(papers, d.takes)
}

func (d Demand) approved(papers []Paper) bool {
	for _, a := range d.Approvals {
		shown := func(p Paper) bool { return p.Rejected == "" && slices.Contains(p.Approvals, a) }
		if !slices.ContainsFunc(papers, shown) {
			return false
		}
	}
	return true
}

// TooOld refuses a lot received on a day when the newest test of a paper that
// answers the demand was older than is asked for. A paper without the day of
// its test proves no age.
func (d Demand) TooOld(l Lot, papers []Paper, received measure.Date) error {
	if d.MaxAge == (Age{}) {
		return nil
	}
	var newest measure.Date
	for _, p := range papers {
		if d.takes(p) {
			newest = max(newest, p.Tested)
		}
	}
	if newest != "" && d.MaxAge.After(newest) >= received {
		return nil
	}
	shown := "no day of test"
	if newest != "" {
		shown = "tested " + string(newest)
	}
	return &Refusal{Code: CertificateCode, Subject: l.Code, Value: shown, Limit: d.MaxAge.String(), Rule: d.By, Source: d.Source,
		Why:  fmt.Sprintf("lot %s, received %s, %s; %s asks for a test not older than %s", l.Code, received, shown, d.By, d.MaxAge),
		Next: "offer a lot with a newer test, or ask the maker for one"}
}

// Age is an age by the calendar: months are not all of one length.
type Age struct{ Months, Days int }

var ageForm = regexp.MustCompile(`^(\d{1,4}) ?(y|years?|months?|mo|d|days?)$`)

// ParseAge reads "12 months", "2 years" or "90 days"; empty text is no age. The
// error is a *Refusal.
func ParseAge(s string) (Age, error) {
	if s == "" {
		return Age{}, nil
	}
	m := ageForm.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return Age{}, &Refusal{Code: Unit, Subject: "age", Value: s, Why: fmt.Sprintf("%q is no age", s), Next: "write 12 months, 2 years or 90 days"}
	}
	n, _ := strconv.Atoi(m[1]) // four digits at most
	switch m[2][0] {
	case 'y':
		return Age{Months: 12 * n}, nil
	case 'm':
		return Age{Months: n}, nil
	}
	return Age{Days: n}, nil
}

// After returns the day on which something of a day is as old as that.
func (a Age) After(d measure.Date) measure.Date { return d.AddMonths(a.Months).AddDays(a.Days) }

// String returns the age as a person writes it.
func (a Age) String() string {
	if a.Months > 0 {
		return fmt.Sprintf("%d months", a.Months)
	}
	return fmt.Sprintf("%d days", a.Days)
}
