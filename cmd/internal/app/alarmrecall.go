package app

import "ovenward/alerts/alarm"

// recall lets what stands long after it was acknowledged call again, as the
// catalogue says of its kind: whoever saw it may have forgotten it or gone home.
func (s *stepper) recall() {
	for _, now := range s.notNormal() {
		again := s.w.catalogue.Of(now.Kind).Realarm
		if now.State == alarm.Acknowledged && again > 0 && now.Changed.Add(again) <= s.w.at {
			s.do(now.Tag(), alarm.Recall, "it still stands "+again.Words()+" after "+now.By+" acknowledged it")
		}
	}
}
