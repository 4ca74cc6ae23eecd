package rules

import (
	"fmt"
	"strings"
)

// Said is a row in words, for a person who compares it with a book.
type Said struct {
	Kind   string `json:"kind"`
	Row    string `json:"row"`
	Says   string `json:"says"`
	Status Status `json:"status"`
	Source string `json:"source"`
	Note   string `json:"note,omitempty"`
}

// Describe returns every row of the set in words, in the order of the file's
// kinds.
func (s *Set) Describe() []Said {
	var out []Said
	for _, r := range s.rows() {
		says := r.says()
		if stock := r.stock().words(); stock != "" {
			says = stock + ": " + says
		}
		m := r.about()
		out = append(out, Said{r.shown(), m.Row, says, m.Status, m.Source, m.noted()})
	}
	return out
}

// noted is the row's note with what it follows and who ruled that it may.
func (m *Meta) noted() string {
	note := m.Note
	if m.Follows != "" {
		note = strings.TrimPrefix(note+"; follows "+m.Follows, "; ")
	}
	if m.Ruling != "" {
		note += ", ruled: " + m.Ruling
	}
	return note
}

// shown is the kind of a row for a person.
func (r listed) shown() string {
	switch r.kind {
	case "co_storage":
		return "co-storage"
	case "column_b":
		return "column B"
	}
	return strings.ReplaceAll(r.kind, "_", " ")
}

func (r ExposureRow) says() string {
	if r.Clock == NoClock {
		return "no clock"
	}
	switch {
	case r.Clock == Elapsed:
		return r.Limit.Words() + " from the first opening, whatever happens"
	case r.PausesInPack():
		return r.Limit.Words() + ", not counting time back in the pack"
	}
	return r.Limit.Words()
}

func (r HoldRow) says() string {
	says := fmt.Sprintf("%s at %s or more", r.Duration.Words(), r.Min)
	if r.Max.Given() {
		says += ", up to " + r.Max.String()
	}
	if r.Cabinet {
		says += ", also for what is past its limit"
	}
	if !r.Resets {
		says += ", without setting the clock to zero"
	}
	return says
}

func (r QuiverRow) says() string {
	says := fmt.Sprintf("proven at %s or more", r.Min)
	if r.AsHold {
		says += ", counts as a holding oven"
	}
	if r.Total > 0 {
		says += ", open and in it together " + r.Total.Words()
		if r.OnDip == DipReverts {
			says += " if always in it"
		}
	}
	return says
}

func (r PacketRow) says() string { return r.Limit.Words() + " opened in its packet" }

func (r HopperRow) says() string {
	var parts []string
	if r.Limit > 0 {
		parts = append(parts, r.Limit.Words()+" in a hopper")
	}
	if r.DropTop != "" {
		parts = append(parts, "of an opened bag the top "+r.DropTop+" is thrown away")
	}
	return strings.Join(parts, "; ")
}

func (r WarmUpRow) says() string {
	says := fmt.Sprintf("from a place below %s it stays closed for %s", r.Below, r.Wait.Words())
	if r.Cold == ColdWarns {
		says += " (warning only)"
	}
	return says
}

func (r BlendRow) says() string {
	var parts []string
	if r.NewMin > 0 {
		parts = append(parts, fmt.Sprintf("at least %d %% new", r.NewMin))
	}
	if r.RecycledMax > 0 {
		parts = append(parts, fmt.Sprintf("at most %d %% recycled", r.RecycledMax))
	}
	return "blended with " + strings.Join(parts, " and ")
}

func (r HoldingRow) says() string { return fmt.Sprintf("%d days", r.MaxDays) }

func (r ShelfLifeRow) says() string {
	switch r.From {
	case FromOpened:
		return r.life() + " once opened"
	case FromReceived:
		return r.life() + " in store, then inspected again"
	default:
		return r.life()
	}
}

// life says how long it is: "3 years", "18 months".
func (r ShelfLifeRow) life() string {
	var parts []string
	for _, p := range []struct {
		n    int
		unit string
	}{{r.Years, "years"}, {r.Months, "months"}, {r.Days, "days"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.unit))
		}
	}
	return strings.Join(parts, " ")
}

func (r FirstUseRow) says() string {
	if r.Damaged {
		return "baked before first use where its package came damaged"
	}
	return "baked before first use unless the tight package's seal was intact"
}

// words names the stock that a row speaks of; empty for all.
func (m Match) words() string {
	var parts []string
	for _, v := range m.Spec {
		parts = append(parts, string(v))
	}
	for _, v := range m.Family {
		parts = append(parts, string(v))
	}
	if m.StrengthKSI != (Range{}) {
		parts = append(parts, m.StrengthKSI.words())
	}
	if m.MoistureMark != "" {
		parts = append(parts, string(m.MoistureMark)+" R")
	}
	if m.Military != "" {
		parts = append(parts, string(m.Military)+" M")
	}
	parts = append(parts, m.Classes...)
	for _, v := range m.Packages {
		parts = append(parts, string(v))
	}
	return strings.Join(append(parts, m.Products...), ", ")
}

func (r Range) words() string {
	switch {
	case r.Max == 0:
		return fmt.Sprintf("%d ksi and more", r.Min)
	case r.Min == r.Max:
		return fmt.Sprintf("%d ksi", r.Min)
	}
	return fmt.Sprintf("%d to %d ksi", r.Min, r.Max)
}
