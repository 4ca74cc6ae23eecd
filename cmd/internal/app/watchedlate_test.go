package app_test

import (
	"testing"

	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestAnAlarmEndsWhenTheFactThatEndedItHappened: at 09:00 three lots have alarms
// since midnight, and rods are out past their limit since 04:00. What ended them
// is keyed at 12:00, hours after the watch looked past it. The last lot's
// certificate is of the days in which it might wait: that alarm was never true,
// and ceases when it is known.
func TestAnAlarmEndsWhenTheFactThatEndedItHappened(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		came := func(lot, bundle, expires string) {
			c.record("2025-06-04 07:00", &inventory.Received{Lot: lot, Class: "E7018", Diameter: "1/8 in", Length: "14 in",
				Package: "hermetic can", Bundle: bundle, Pieces: 50, Expires: expires})
		}
		came("LATE", "K2", "")
		came("GONE", "K3", "2025-06-06")
		came("LONGER", "K4", "2025-06-06")
		came("EARLY", "K5", "")
		paper := func(lot string) inventory.Entry {
			return &inventory.CertificateSet{Lot: lot, Number: "Z-" + lot, SortKind: "2.2"}
		}
		for _, lot := range []string{"7B21", "GONE", "LONGER"} {
			c.record("2025-06-04 08:00", paper(lot))
		}
		c.wait("2025-06-04 08:00", "2")
		c.record("2025-06-06 22:00", &inventory.Opened{Bundle: "K1", Into: "bench"})
		c.record("2025-06-07 00:00", &inventory.Issued{Slip: "S1", Bundle: "K1", Pieces: 40, Welder: "W3"})
		raised, _ := c.watch("2025-06-07 09:00")
		c.want("raised", stillUp(raised), []string{
			"certificate-missing EARLY 7 Jun 00:00- late", "certificate-missing LATE 7 Jun 00:00- late",
			"expired GONE 7 Jun 00:00- late", "expired LONGER 7 Jun 00:00- late",
			"exposure-past K1 7 Jun 02:00- late", "exposure-past S1 7 Jun 02:00- late"})

		const keyed = "2025-06-07 12:00"
		c.enter("2025-06-07 08:00", keyed, paper("LATE"))
		c.enter("2025-06-07 07:00", keyed, &inventory.Scrapped{Bundle: "K3", Pieces: 50, Why: "expired"})
		c.enter("2025-06-07 06:00", keyed, &inventory.Extended{Lot: "LONGER", Until: "2026-06-06", Reference: "T-1", Proposer: "Birch"})
		c.enter("2025-06-07 05:00", keyed, &inventory.Returned{Slip: "S1", Unused: 40, Into: "bench", As: "R1"})
		c.enter("2025-06-05 10:00", keyed, paper("EARLY"))
		_, over := c.watch("2025-06-07 12:01")
		c.want("over", over, []string{
			"certificate-missing EARLY 7 Jun 00:00-7 Jun 12:01 late", "certificate-missing LATE 7 Jun 00:00-7 Jun 08:00 late, entered late",
			"expired GONE 7 Jun 00:00-7 Jun 07:00 late, entered late", "expired LONGER 7 Jun 00:00-7 Jun 06:00 late, entered late",
			"exposure-past S1 7 Jun 02:00-7 Jun 05:00 late, entered late"})
	})
}
