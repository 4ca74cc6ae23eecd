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
	add := func(kind string, m Meta, match Match, format string, args ...any) {
		says := fmt.Sprintf(format, args...)
		if stock := match.words(); stock != "" {
			says = stock + ": " + says
		}
		out = append(out, Said{kind, m.Row, says, m.Status, m.Source, m.Note})
	}
	for _, r := range s.Exposure {
		if r.Clock == "none" {
			add("exposure", r.Meta, r.Match, "no clock")
			continue
		}
		add("exposure", r.Meta, r.Match, "%s", r.Limit.Words())
	}
	for _, r := range s.Hold {
		add("hold", r.Meta, r.Match, "%s at %s or more%s", r.Duration.Words(), r.Min, upTo(r.Max))
	}
	for _, r := range s.Bake {
		add("bake", r.Meta, r.Match, "%s at %s to %s, first %s at no more than %d %% of the chosen temperature",
			r.Soak.Words(), r.Min, r.Max, r.Presoak.Words(), r.PresoakPercent)
	}
	for _, r := range s.Quiver {
		says := fmt.Sprintf("proven at %s or more", r.Min)
		if r.AsHold {
			says += ", counts as a holding oven"
		}
		if r.Total > 0 {
			says += ", open and in it together " + r.Total.Words()
		}
		add("quiver", r.Meta, r.Match, "%s", says)
	}
	for _, r := range s.Packet {
		add("packet", r.Meta, r.Match, "%s opened in its packet", r.Limit.Words())
	}
	for _, r := range s.Holding {
		add("holding time", r.Meta, r.Match, "%d days", r.MaxDays)
	}
	for _, r := range s.ShelfLife {
		add("shelf life", r.Meta, r.Match, "%d years", r.Years)
	}
	for _, r := range s.CoStorage {
		kinds := make([]string, len(r.Places))
		for i, k := range r.Places {
			kinds[i] = string(k)
		}
		add("co-storage", r.Meta, r.Match, "not in a %s: %s", strings.Join(kinds, ", "), r.Why)
	}
	for _, r := range s.FirstUse {
		add("first use", r.Meta, r.Match, "baked before first use unless the tight package's seal was intact")
	}
	return out
}

func upTo(t Temp) string {
	if !t.Given() {
		return ""
	}
	return ", up to " + t.String()
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
		parts = append(parts, fmt.Sprintf("%d to %d ksi", m.StrengthKSI.Min, m.StrengthKSI.Max))
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
