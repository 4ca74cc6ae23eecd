package rules_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/rules"
)

// TestColumnBAddsToColumnA: the set with column B says of everything else what the
// set of column A says.
func TestColumnBAddsToColumnA(t *testing.T) {
	t.Parallel()
	a, b := shipped(t, "structural-2015-a"), shipped(t, "structural-2015-b")
	var kept []rules.Said
	for _, s := range b.Describe() {
		if s.Kind != "column B" {
			kept = append(kept, s)
		}
	}
	if diff := cmp.Diff(a.Describe(), kept); diff != "" {
		t.Errorf("rows besides column B (-column A set +column B set):\n%s", diff)
	}
	if a.Clock != b.Clock || a.Evidence != b.Evidence || a.Bakes != b.Bakes || a.Oven != b.Oven {
		t.Error("the policies differ")
	}
}

// TestColumnBByClass: the ranges of the table as remembered; R and M have none, and
// what has no row in column A has none in B.
func TestColumnBByClass(t *testing.T) {
	t.Parallel()
	s := shipped(t, "structural-2015-b")
	for class, want := range map[string]string{
		"E7018": "4:00 10:00", "E7018-1 H4": "4:00 10:00", "E7018R": "", "E7018M": "", "E7018-A1": "4:00 10:00",
		"E8018-C3": "2:00 10:00", "E9018M": "1:00 5:00", "E10018-D2": "0:30 4:00", "E11018M": "0:30 4:00", "E6010": "",
	} {
		r, err := s.Resolve(stock(t, class))
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if r.ColumnB != nil {
			got = r.ColumnB.Over.String() + " " + r.ColumnB.Max.String()
			if r.ColumnB.Status != rules.Memory || r.ColumnB.Over != r.Exposure.Limit {
				t.Errorf("%s: status %s, over %s, column A %s", class, r.ColumnB.Status, r.ColumnB.Over, r.Exposure.Limit)
			}
		}
		if got != want {
			t.Errorf("%s: column B %q, want %q", class, got, want)
		}
	}
}

// TestATestLoosensNoOtherAuthority: an owner's six hours stay six hours.
func TestATestLoosensNoOtherAuthority(t *testing.T) {
	t.Parallel()
	text := shipped(t, "structural-2015-b").Text + `
[[exposure]]
row = "owner"
authority = "owner"
limit = "6h"
source = "owner's specification"
status = "shop"
`
	r, err := parse(t, text).Resolve(stock(t, "E7018"))
	if err != nil || r.Exposure.Row != "e70" || r.OtherLimit != span(t, "6h") {
		t.Errorf("decides %s, other limit %s (%v), want e70 and 6 h", r.Exposure.Row, r.OtherLimit, err)
	}
}

func TestWhatAReportAllows(t *testing.T) {
	t.Parallel()
	r, err := shipped(t, "structural-2015-b").Resolve(stock(t, "E7018"))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		hours    string
		moisture measure.Content
		want     string
	}{{"9h", -1, "9:00"}, {"12h", 35, "10:00"}, {"4h", 35, "0:00"}, {"9h", 40, "9:00"}, {"9h", 41, "0:00"}} {
		got, why := r.ColumnB.Allows(&rules.Report{Reference: "TR-7", Hours: span(t, row.hours), Moisture: row.moisture})
		if got.String() != row.want || (why == "") != (got > 0) {
			t.Errorf("%s at %s: %s (%q), want %s", row.hours, row.moisture, got, why, row.want)
		}
	}
}

const bands = `
[air]
max_gap = "24h"

[[climate]]
row = "cool"
packages = ["carton"]
min = "40 F"
max = "60 F"
humidity = "60 %"
source = "invented sheet"
status = "shop"

[[climate]]
row = "warm"
packages = ["carton"]
min = "60 F"
max = "80 F"
humidity = "50 %"
source = "invented sheet"
status = "shop"
`

// TestPairedLimits: where two bands meet the drier one counts, and air in no band
// is outside however dry it is.
func TestPairedLimits(t *testing.T) {
	t.Parallel()
	s := parse(t, sound+bands)
	box := stock(t, "E7018")
	if l := s.ClimateFor(box); len(l) != 0 {
		t.Errorf("a hermetic can is kept by %s", l.Names())
	}
	box.Package = "carton"
	limits := s.ClimateFor(box)
	for _, row := range []struct {
		f, percent int64
		want       string
	}{
		{50, 60, ""}, {50, 61, "61 % RH at 10 °C, at most 60 % (cool)"}, {60, 51, "51 % RH at 15.56 °C, at most 50 % (warm)"},
		{60, 50, ""}, {80, 50, ""}, {39, 10, "3.89 °C, kept at 40 F to 60 F, or 60 F to 80 F"},
		{81, 10, "27.22 °C, kept at 40 F to 60 F, or 60 F to 80 F"},
	} {
		a := air.Air{Temp: measure.Fahrenheit(row.f), RH: measure.Humidity(row.percent) * measure.Percent}
		if got := limits.Outside(a); got != row.want {
			t.Errorf("%s: %q, want %q", a, got, row.want)
		}
	}
}

func TestFaultsOfRowsOfAir(t *testing.T) {
	t.Parallel()
	for name, row := range map[string]struct{ old, by, want string }{
		"no gap":          {"[air]\nmax_gap = \"24h\"\n", "", "air.max_gap is missing"},
		"humidity bare":   {`humidity = "60 %"`, `humidity = "60"`, "no % sign"},
		"no humidity":     {`humidity = "60 %"`, ``, "humidity is missing"},
		"other unit":      {`max = "80 F"`, `max = "26 C"`, `26 C in a set of unit_system "US"`},
		"bands overlap":   {`min = "60 F"`, `min = "59 F"`, "its temperatures overlap those of climate row cool"},
		"no temperature":  {"min = \"60 F\"\nmax = \"80 F\"\n", "", "names no temperature"},
		"upside down":     {`max = "80 F"`, `max = "50 F"`, "max 50 F is below min 60 F"},
		"unknown package": {`packages = ["carton"]`, `packages = ["box"]`, "packages"},
	} {
		text := strings.Replace(sound+bands, row.old, row.by, 1)
		if text == sound+bands {
			t.Fatalf("%s: nothing was changed", name)
		}
		_, err := rules.Parse("yard.toml", []byte(text))
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: %v, want %q", name, err, row.want)
		}
	}
}

func TestFaultsOfColumnB(t *testing.T) {
	t.Parallel()
	good := sound + "[air]\nmax_gap = \"4h\"\n" + `
[[column_b]]
row = "b"
spec = ["A5.1"]
over = "4h"
max = "10h"
source = "yard procedure 7"
status = "shop"
`
	if s := parse(t, good); s.ColumnB[0].MoistureMax != 0 {
		t.Errorf("moisture_max is %s where none is written", s.ColumnB[0].MoistureMax)
	}
	for old, row := range map[string][2]string{
		`max = "10h"`: {`max = "4h"`, "max 4:00 is not above over 4:00"}, `over = "4h"`: {`over = "3h"`, "a test would shorten it"},
	} {
		_, err := rules.Parse("yard.toml", []byte(strings.Replace(good, old, row[0], 1)))
		if err == nil || !strings.Contains(err.Error(), row[1]) {
			t.Errorf("%s: %v, want %q", row[0], err, row[1])
		}
	}
}
