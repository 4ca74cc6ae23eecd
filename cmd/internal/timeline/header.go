package timeline

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// Header is the first line of a timeline.
type Header struct {
	Timeline int                        `json:"timeline"` // the version of the form, 1
	Zone     string                     `json:"zone"`     // IANA name
	Rules    string                     `json:"rules"`    // id of a shipped rule set
	Site     string                     `json:"site"`
	Units    measure.UnitSystem         `json:"units"`
	Set      map[string]json.RawMessage `json:"set"`  // single settings of the rule set
	Rows     []string                   `json:"rows"` // lines of a rule file, read behind those of the shipped set
	Title    string                     `json:"title"`
	Note     string                     `json:"note"`
	Source   string                     `json:"source"`
}

func readHeader(n int, text []byte) (Header, error) {
	var h Header
	if err := strict(text, &h); err != nil {
		return h, &LineError{n, "header: " + plain(err)}
	}
	switch {
	case h.Timeline == 0:
		return h, &LineError{n, "no header: " + firstLine}
	case h.Timeline != 1:
		return h, &LineError{n, fmt.Sprintf("header: timeline %d; this program reads version 1", h.Timeline)}
	case h.Zone == "" || h.Rules == "":
		return h, &LineError{n, "header: zone and rules are needed; " + firstLine}
	}
	if _, err := h.zone(); err != nil {
		return h, &LineError{n, "header: " + err.Error()}
	}
	if _, err := h.ruleSet(); err != nil {
		return h, &LineError{n, "header: " + hint(err)}
	}
	return h, nil
}

// zone is the site's clock. That of this machine is no place.
func (h Header) zone() (*time.Location, error) {
	zone, err := time.LoadLocation(h.Zone)
	if err != nil || h.Zone == "Local" {
		return nil, fmt.Errorf("unknown zone %q: give an IANA name, such as America/Halifax", h.Zone)
	}
	return zone, nil
}

// ruleSet returns the shipped set with the header's rows, after trying the
// header's changes.
func (h Header) ruleSet() (*rules.Set, error) {
	set, err := rules.Shipped(h.Rules)
	if err == nil && len(h.Rows) > 0 {
		set, err = rules.Parse(h.Rules, []byte(set.Text+"\n"+strings.Join(h.Rows, "\n")+"\n"))
	}
	if err != nil {
		return nil, err
	}
	_, err = set.With(h.Settings())
	return set, err
}

// Settings returns the header's changes as text. A number has no unit; a
// setting that counts hours says so in its name.
func (h Header) Settings() map[string]string {
	out := map[string]string{}
	for name, raw := range h.Set {
		var text string
		if json.Unmarshal(raw, &text) != nil {
			if text = string(raw); strings.HasSuffix(name, "_hours") {
				text += " h"
			}
		}
		out[name] = text
	}
	return out
}
