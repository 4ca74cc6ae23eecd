package main

import "ovenward/storage/moisture"

// adviceAnswer is an estimate of moisture, for a program.
type adviceAnswer struct {
	Low     float64 `json:"percent_low"`
	High    float64 `json:"percent_high"`
	Says    string  `json:"says"`
	First   string  `json:"back_after_first,omitempty"` // exposure; only where it is less than the limit
	Last    string  `json:"back_after_last,omitempty"`
	Caution string  `json:"caution"`
}

func newAdviceAnswer(a *moisture.Advice) *adviceAnswer {
	if a == nil {
		return nil
	}
	ans := &adviceAnswer{Low: a.Taken.Low, High: a.Taken.High, Says: a.Says(), Caution: moisture.Caution}
	if a.Tightens() {
		ans.First, ans.Last = a.First.String(), a.Last.String()
	}
	return ans
}

// adviceLines are the estimate for a person, with its words of caution; none where
// the rule set does not ask for it.
func adviceLines(a *moisture.Advice) [][2]string {
	if a == nil {
		return nil
	}
	lines := [][2]string{{"moisture", a.Says()}}
	if back := a.Back(); back != "" {
		lines = append(lines, [2]string{"advice", back})
	}
	return append(lines, [2]string{"caution", moisture.Caution})
}
