package feed_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// start is the instant of the first row of table.
const start = measure.Instant(20_244 * int64(measure.Day)) // 5 June 2025

// table is a file of n readings a second apart, on the clock of UTC.
func table(n int, sensors []string) string {
	var b strings.Builder
	b.WriteString("time,temp (C),sensor\n")
	for i := range n {
		at := start.Add(measure.Duration(i) * measure.Second).Time()
		fmt.Fprintf(&b, "%s,%d.%d,%s\n", at.Format(time.DateTime), 120+i%100/10, i%10, sensors[i%len(sensors)])
	}
	return b.String()
}

// BenchmarkRead reads a million rows, as a year of two ovens by the minute has.
func BenchmarkRead(b *testing.B) {
	const n = 1_000_000
	local := table(n, []string{"H1", "H2"})
	files := []struct {
		name, text string
		mapping    feed.Mapping
	}{
		{"local", local, feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"}},
		{"rfc3339", rewritten(local, "2006-01-02T15:04:05-07:00", ","), feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"}},
		{"quoted decimal commas", quoted(local), feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"}},
		{"day first", rewritten(local, "02.01.2006 15:04:05", ";"),
			feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor", Layout: "DD.MM.YYYY hh:mm:ss"}},
	}
	for _, f := range files {
		b.Run(f.name, func(b *testing.B) {
			z := zone(b, "America/Halifax")
			b.SetBytes(int64(len(f.text)))
			b.ReportAllocs()
			for b.Loop() {
				sum, err := feed.Read(strings.NewReader(f.text), f.mapping, z, func(feed.Row) error { return nil })
				if err != nil || sum.Rows != n {
					b.Fatalf("%d rows, %v", sum.Rows, err)
				}
			}
			b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}

// rewritten writes a table's times in another layout and its cells apart by
// another delimiter.
func rewritten(table, layout, delimiter string) string {
	header, body, _ := strings.Cut(table, "\n")
	var b strings.Builder
	b.WriteString(strings.ReplaceAll(header, ",", delimiter) + "\n")
	for line := range strings.Lines(body) {
		when, rest, _ := strings.Cut(line, ",")
		at, err := time.Parse(time.DateTime, when)
		if err != nil {
			panic(err)
		}
		b.WriteString(at.Format(layout) + delimiter + strings.ReplaceAll(rest, ",", delimiter))
	}
	return b.String()
}

func quoted(table string) string {
	var b strings.Builder
	for line := range strings.Lines(table) {
		cells := strings.Split(strings.TrimSpace(line), ",")
		for i := range cells {
			cells[i] = `"` + strings.Replace(cells[i], ".", ",", 1) + `"`
		}
		b.WriteString(strings.Join(cells, ",") + "\n")
	}
	return b.String()
}
