package push_test

import (
	"fmt"
	"strings"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/app/apptest"
	"ovenward/inventory/measure"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/feed"
)

// BenchmarkPushAgainstLoad stores the same readings in the same run as loggers send
// them, a thousand at a time in JSON, and as a file of them is loaded.
func BenchmarkPushAgainstLoad(b *testing.B) {
	const many, each = 20_000, 1_000
	start := measure.At(apptest.Noon).Add(-many * measure.Second)
	when := func(i int) string {
		return start.Add(measure.Duration(i) * measure.Second).Time().Format("2006-01-02T15:04:05Z")
	}
	b.Run("push", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			s := newSite(b, dbtest.SQLite(b), "yard")
			var bodies []string
			for from := 0; from < many; from += each {
				var body strings.Builder
				for k := from; k < from+each; k++ {
					fmt.Fprintf(&body, `{"place":"H1","at":"%s","value":%d}`+"\n", when(k), 250+k%9)
				}
				bodies = append(bodies, body.String())
			}
			b.StartTimer()
			for _, body := range bodies {
				if code, got := s.send(body); code != 200 {
					b.Fatal(code, got)
				}
			}
		}
		b.ReportMetric(many*float64(b.N)/b.Elapsed().Seconds(), "readings/s")
	})
	b.Run("load", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			s := newSite(b, dbtest.SQLite(b), "yard")
			var text strings.Builder
			text.WriteString("time,temp\n")
			for k := range many {
				fmt.Fprintf(&text, "%s,%d\n", when(k), 250+k%9)
			}
			b.StartTimer()
			sum, err := s.app.LoadReadings(b.Context(), "Oakes", strings.NewReader(text.String()),
				feed.Mapping{Time: "time", Value: "temp", Unit: "F"}, "H1", app.LoadOptions{Name: "h1.csv"})
			if err != nil || sum.Added != many {
				b.Fatal(sum.Added, err)
			}
		}
		b.ReportMetric(many*float64(b.N)/b.Elapsed().Seconds(), "readings/s")
	})
}
