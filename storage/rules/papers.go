package rules

// Papers are the rules about how long stock may lie without a certificate.
type Papers struct {
	WaitDays int64 `toml:"wait_days"` // from the day it came; past them there is an alarm; zero: none
}

func (p Papers) check(c *checker) {
	if p.WaitDays < 0 {
		c.amiss("papers.wait_days", "is %d: write the days that a lot may wait for its certificate, 0 for no alarm", p.WaitDays)
	}
}
