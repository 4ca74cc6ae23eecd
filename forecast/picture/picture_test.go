package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/picture"
)

// Invented: 100 on the shelf, 40 to 60 a week.
func rods() picture.Outlook {
	return picture.Outlook{Item: "E7018 1/8 in", Unit: "rods", Weeks: []picture.Week{
		{Label: "2026-W49", Likely: 40, High: 60, Stock: 100},
		{Label: "2026-W50", Likely: 50, High: 80, Stock: 60},
		{Label: "2026-W51", Likely: 30, High: 45, Stock: 10},
	}}
}

// TestTextDrawsNeedBandAndStock counts the marks by hand: the largest need, 80,
// fills 24 of 30 columns, so each is 10/3 rods.
func TestTextDrawsNeedBandAndStock(t *testing.T) {
	t.Parallel()
	got := picture.Text([]picture.Outlook{rods()}, 80)
	want := `E7018 1/8 in, rods
2026-W49 ############------            | 40 to 60 of 100
2026-W50 ###############---|-----        50 to 80 of 60  may be short
2026-W51 ###|#####-----                  30 to 45 of 10  SHORT

# needed half of the time (P50), - nine times of ten (P90)
| usable stock as the week begins, > more of it than is drawn
`
	if got != want {
		t.Errorf("Text() =\n%s\nwant\n%s", got, want)
	}
}

// TestTextWithoutARangeHasNoBand holds that one figure is drawn as one.
func TestTextWithoutARangeHasNoBand(t *testing.T) {
	t.Parallel()
	o := picture.Outlook{Item: "E6010 1/8 in", Unit: "kg", Weeks: []picture.Week{{Label: "W1", Likely: 2.25, Stock: 900}}}
	got := picture.Text([]picture.Outlook{o}, 60)
	if strings.Contains(got, "-") || strings.Contains(got, "P90") || !strings.Contains(got, "> 2.2 of 900") {
		t.Errorf("Text() =\n%s", got)
	}
}

// TestLinesFitTheirWidth holds for any figures: no line is wider than asked, and
// what is needed is always seen.
func TestLinesFitTheirWidth(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		week := rapid.Custom(func(t *rapid.T) picture.Week {
			likely := float64(rapid.IntRange(0, 99_999).Draw(t, "likely"))
			return picture.Week{Label: "2026-W49", Likely: likely, Stock: float64(rapid.IntRange(0, 99_999).Draw(t, "stock")),
				High: likely + float64(rapid.IntRange(0, 999).Draw(t, "more"))}
		})
		o := picture.Outlook{Item: "E7018", Unit: "rods", Weeks: rapid.SliceOfN(week, 1, 8).Draw(t, "weeks")}
		lines := strings.Split(picture.Text([]picture.Outlook{o}, 80), "\n")[1:]
		for i, w := range o.Weeks {
			if len(lines[i]) > 80 {
				t.Errorf("%d wide: %q", len(lines[i]), lines[i])
			}
			if first := lines[i][9:10]; w.Likely > 0 && first != "#" && first != "|" {
				t.Errorf("nothing is drawn of %v: %q", w, lines[i])
			}
		}
	})
}

// TestSVGIsWellFormed reads the picture as XML and holds that every item, week and
// meaning is written in it.
func TestSVGIsWellFormed(t *testing.T) {
	t.Parallel()
	other := rods()
	other.Item = `<script> & "E6010"`
	svg, err := picture.SVG([]picture.Outlook{rods(), other})
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		if c, ok := token.(xml.CharData); ok {
			text.Write(c)
		}
	}
	for _, says := range []string{"E7018 1/8 in", other.Item, "2026-W51", "usable stock", "does not cover it", "P50", "P90", "rods"} {
		if !strings.Contains(text.String(), says) {
			t.Errorf("the picture does not say %q", says)
		}
	}
	again, err := picture.SVG([]picture.Outlook{rods(), other})
	if err != nil || !bytes.Equal(svg, again) {
		t.Errorf("the same weeks are drawn otherwise the second time: %v", err)
	}
}

// TestPNGIsAnImage holds that the dots are of one panel's height an item.
func TestPNGIsAnImage(t *testing.T) {
	t.Parallel()
	high := map[int]int{}
	for n := 1; n <= 2; n++ {
		all := []picture.Outlook{rods(), rods()}[:n]
		dots, err := picture.PNG(all)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(dots))
		if err != nil {
			t.Fatal(err)
		}
		high[n] = img.Bounds().Dy()
	}
	if high[1] == 0 || high[2] < 2*high[1]-2 || high[2] > 2*high[1]+2 {
		t.Errorf("%d dots high for one item, %d for two", high[1], high[2])
	}
}

// TestPicturesThatCannotBeDrawn says why.
func TestPicturesThatCannotBeDrawn(t *testing.T) {
	t.Parallel()
	many := make([]picture.Outlook, picture.MostItems+1)
	for i := range many {
		many[i] = rods()
		many[i].Item = fmt.Sprint(i)
	}
	for name, all := range map[string][]picture.Outlook{"of 0 items": nil, "of 41 items": many, "E1: no week": {{Item: "E1"}}} {
		if _, err := picture.SVG(all); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("SVG() error = %v, want %q", err, name)
		}
		if _, err := picture.PNG(all); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("PNG() error = %v, want %q", err, name)
		}
	}
}
