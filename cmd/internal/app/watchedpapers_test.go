package app_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rules"
)

// wait puts the reference rules into force with days to wait for a certificate.
func (c *crib) wait(when, days string) {
	c.t.Helper()
	set, err := rules.Shipped("reference-running")
	if err != nil {
		c.t.Fatal(err)
	}
	text := strings.Replace(set.Text, `"reference-running"`, `"with-papers"`, 1)
	text = strings.Replace(text, "[clock]", "[papers]\nwait_days = "+days+"\n\n[clock]", 1)
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	c.record(when, &inventory.RulesApproved{ID: "with-papers", Text: text, Confirmed: confirmed})
	c.record(when, &inventory.RulesUsed{Rules: "with-papers"})
}

// TestALotThatWaitsForItsCertificateIsToldOnceAndOver: lots 7B21 and 7B22 came on
// 4 June and may wait for two days, to the end of 6 June.
func TestALotThatWaitsForItsCertificateIsToldOnceAndOver(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.record("2025-06-04 06:00", &inventory.Received{Lot: "7B22", Class: "E7018", Diameter: "1/8 in", Length: "14 in",
			Package: "hermetic can", Bundle: "K2", Pieces: 50})
		raised, _ := c.watch("2025-06-04 07:00")
		c.want("without the setting", raised, nil)
		c.wait("2025-06-04 08:00", "2")
		for _, step := range []struct {
			when            string
			act             inventory.Entry // right before
			raised, cleared []string
		}{
			{"2025-06-06 23:59", nil, nil, nil},
			{"2025-06-07 00:00", nil, []string{"certificate-missing 7B21 7 Jun 00:00-", "certificate-missing 7B22 7 Jun 00:00-"}, nil},
			{"2025-06-07 08:00", nil, nil, nil},
			{"2025-06-08 09:00", &inventory.CertificateSet{Lot: "7B21", Number: "Z-21", SortKind: "2.2"}, nil,
				[]string{"certificate-missing 7B21 7 Jun 00:00-8 Jun 09:00"}},
			{"2025-06-08 10:00", &inventory.Scrapped{Bundle: "K2", Pieces: 50, Why: "sent back"}, nil,
				[]string{"certificate-missing 7B22 7 Jun 00:00-8 Jun 10:00"}},
			{"2025-06-09 10:00", &inventory.CertificateSet{Lot: "7B21", Number: "Z-21", SortKind: "2.2", Rejected: "altered"},
				[]string{"certificate-missing 7B21 9 Jun 10:00-"}, nil},
			{"2025-06-20 10:00", &inventory.Received{Lot: "7B22", Class: "E7018", Diameter: "1/8 in", Length: "14 in",
				Package: "hermetic can", Bundle: "K3", Pieces: 50}, nil, nil},
			{"2025-06-22 23:59", nil, nil, nil},
			{"2025-06-23 00:00", nil, []string{"certificate-missing 7B22 23 Jun 00:00-"}, nil}, // it came again without one
		} {
			if step.act != nil {
				c.record(step.when, step.act)
			}
			raised, cleared := c.watch(step.when)
			c.want("raised at "+step.when, raised, step.raised)
			c.want("over at "+step.when, cleared, step.cleared)
		}
	})
}
