package sheet_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/sheet"
)

// rows reads all rows; a row that cannot be parted is kept as what is wrong.
func rows(text string) (all [][]string, err error) {
	r, err := sheet.NewReader(strings.NewReader(text))
	if err != nil {
		return nil, err
	}
	for {
		cells, err := r.Next()
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if broken, ok := errors.AsType[*sheet.RowError](err); ok {
			all = append(all, []string{broken.Why})
			continue
		}
		if err != nil {
			return all, err
		}
		var row []string
		for _, c := range cells {
			row = append(row, sheet.Text(sheet.Trim(c)))
		}
		all = append(all, row)
	}
}

func TestRowsOfManyForms(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		want       [][]string
	}{
		{"commas", "a,b\n1,2\n", [][]string{{"a", "b"}, {"1", "2"}}},
		{"semicolons, byte order mark, CRLF", "\ufeffa;b\r\n1,5;2\r\n", [][]string{{"a", "b"}, {"1,5", "2"}}},
		{"tabs, ragged", "a\tb\n1\n1\t2\t3", [][]string{{"a", "b"}, {"1"}, {"1", "2", "3"}}},
		{"a line that names the delimiter", "sep=|\na|b\n", [][]string{{"a", "b"}}},
		{"a quoted line end and a doubled mark", "a,b\n\"1\n2\",\"x\"\"y\"\n", [][]string{{"a", "b"}, {"1\n2", `x"y`}}},
		{"text behind a quotation", "a,b\n\"1\"2,3\n4,5\n", [][]string{{"a", "b"}, {"text behind a closing quotation mark"}, {"4", "5"}}},
		{"one byte a letter", "a,temp (\xb0C)\n", [][]string{{"a", "temp (°C)"}}},
	} {
		got, err := rows(c.text)
		if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
			t.Errorf("%s: %v (-want +got):\n%s", c.name, err, diff)
		}
	}
}

func TestFilesThatCannotBeTrusted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		want       error
	}{
		{"empty", "\n\n", sheet.ErrEmpty},
		{"UTF-16", "\xff\xfea\x00", sheet.ErrEncoding},
		{"a quotation that is not closed", "a,b\n\"1,2\n", sheet.ErrTruncated},
		{"a row without end", "a,b\n" + strings.Repeat("x", 3<<20), sheet.ErrTooLong},
	} {
		if _, err := rows(c.text); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

func TestARowThatIsPutBackIsReadAgain(t *testing.T) {
	t.Parallel()
	r, err := sheet.NewReader(strings.NewReader("a,b\n1,2\n"))
	if err != nil {
		t.Fatal(err)
	}
	first, err := r.Next()
	if err != nil {
		t.Fatal(err)
	}
	r.Back(first)
	again, err := r.Next()
	if err != nil || string(again[0]) != "a" || r.Line() != 1 {
		t.Errorf("again %q on line %d, %v, want the first row", again, r.Line(), err)
	}
}

// FuzzReader feeds any bytes: the reader ends, and its lines go up.
func FuzzReader(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "\ufeffa;b\r\n\"1\n2\";3", "sep=;\n", "\"", "\xff\xfe", "", "a\tb\n\n\n\"x\"y\tz\n"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := sheet.NewReader(strings.NewReader(string(data)))
		if err != nil {
			return
		}
		last := int64(0)
		for {
			cells, err := r.Next()
			if _, broken := errors.AsType[*sheet.RowError](err); err != nil && !broken {
				return
			}
			if r.Line() <= last || (err == nil && len(cells) == 0) {
				t.Fatalf("%d cells on line %d behind line %d", len(cells), r.Line(), last)
			}
			last = r.Line()
		}
	})
}
