package ledger_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/ledger"
)

func TestExportReadsBackAndWritesTheSameBytes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		start := ledger.Start("yard")
		facts := draftChain(t, start, drafts(t, 0))
		file := export(t, start, facts)
		got, err := load(file, start)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(facts, got); diff != "" {
			t.Fatalf("read back (-want +got):\n%s", diff)
		}
		if again := export(t, start, got); !bytes.Equal(again, file) {
			t.Fatalf("exported again:\n%s\nwant\n%s", again, file)
		}
	})
}

// A ledger that has some of the facts gets the others, whether the file begins
// with the first fact, in the middle of what it has, or right behind it.
func TestLoadContinuesFromWhereItLeftOff(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		heads := []ledger.Head{ledger.Start("yard")}
		facts := draftChain(t, heads[0], drafts(t, 1))
		for _, f := range facts {
			heads = append(heads, f.Head())
		}
		from := rapid.IntRange(0, len(facts)).Draw(t, "file begins behind")
		have := rapid.IntRange(from, len(facts)).Draw(t, "ledger ends at")
		got, err := load(export(t, heads[from], facts[from:]), heads[have])
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(facts[have:], got); diff != "" && len(got)+len(facts[have:]) > 0 {
			t.Fatalf("new facts (-want +got):\n%s", diff)
		}
	})
}

func TestFileIsReadableAlone(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 9)
	got, err := load(export(t, facts[3].Head(), facts[4:]), ledger.Head{})
	if err != nil || !slices.Equal(got, facts[4:]) {
		t.Errorf("got %d facts, %v, want facts 5 to 9", len(got), err)
	}
}

func TestExportIsTheDocumentedText(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	facts := chain(t, start, 1)
	got := strings.SplitAfter(string(export(t, start, facts)), "\n")
	want := []string{
		`{"ledger":1,"site":"yard","from":1,"prev":"` + ledger.Genesis + `","noted_us":0}` + "\n",
		`{"site":"yard","seq":1,"id":"01974000-0000-7000-8000-000000000001","kind":"issue",` +
			`"at_us":1749124860000000,"noted_us":1749124860000000,"by":"R. Oakes","via":"window-1",` +
			`"body":"{\"slip\":\"S1\",\"pieces\":40}","supersedes":"","reason":"","prev":"` + ledger.Genesis +
			`","hash":"` + facts[0].Hash + `","encoding":1}` + "\n",
	}
	if diff := cmp.Diff(want, got[:2]); diff != "" {
		t.Errorf("export (-want +got):\n%s", diff)
	}
	if end := `{"end":1,"hash":"` + facts[0].Hash + `","sha256":"`; !strings.HasPrefix(got[2], end) {
		t.Errorf("closing line %s, want %s...", got[2], end)
	}
}

// lineOf returns the line, counted from 1, in which byte i of a file stands.
func lineOf(file []byte, i int) int { return 1 + bytes.Count(file[:i], []byte{'\n'}) }

func TestTruncatedFileIsRefusedAtItsLine(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	file := export(t, start, chain(t, start, 4))
	for i := range file {
		_, err := load(file[:i], start)
		e, ok := errors.AsType[*ledger.FileError](err)
		if !ok {
			t.Fatalf("cut to %d of %d bytes: error %v, want a *FileError", i, len(file), err)
		}
		line := lineOf(file, i)
		if e.Line != line || e.Seq != int64(line-1) {
			t.Fatalf("cut to %d bytes: %v, want line %d and fact %d", i, err, line, line-1)
		}
	}
}

func TestFlippedBitIsRefusedAtItsLine(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	const facts = 4
	file := export(t, start, chain(t, start, facts))
	for i := range file {
		for bit := range 8 {
			flipped := bytes.Clone(file)
			flipped[i] ^= 1 << bit
			_, err := load(flipped, start)
			e, ok := errors.AsType[*ledger.FileError](err)
			if !ok {
				t.Fatalf("byte %d, bit %d flipped: error %v, want a *FileError\n%s", i, bit, err, flipped)
			}
			if want := lineOf(file, i); e.Line != want {
				t.Fatalf("byte %d, bit %d flipped: %v, want line %d", i, bit, err, want)
			}
		}
	}
}

// With no ledger to compare with, what stands in the opening line is found by
// the closing line's digest at the latest.
func TestFlippedBitIsRefusedInAFileReadAlone(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 3)
	for _, file := range [][]byte{
		export(t, facts[0].Head(), facts[1:]), export(t, facts[2].Head(), nil), export(t, ledger.Start("yard"), nil),
	} {
		for i := range file {
			flipped := bytes.Clone(file)
			flipped[i] ^= 1
			if _, err := load(flipped, ledger.Head{}); err == nil {
				t.Fatalf("byte %d flipped was not noticed:\n%s", i, flipped)
			}
		}
	}
}

func TestFileIsRefused(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	facts := chain(t, start, 6)
	whole := string(export(t, start, facts))
	lines := strings.SplitAfter(whole, "\n")
	fork := chain(t, ledger.Start("yard"), 3)
	other := issueDraft(99)
	forked, err := fork[2].Head().Next(other)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		file string
		have ledger.Head
		line int
		seq  int64
		says string
	}{
		"empty":               {"", start, 1, 0, "empty"},
		"another kind":        {"at,place,value\n", start, 1, 0, "not a line of a ledger file"},
		"a timeline":          {`{"timeline":1,"zone":"UTC"}` + "\n", start, 1, 0, "altered"},
		"a newer version":     {strings.Replace(whole, `"ledger":1`, `"ledger":2`, 1), start, 1, 0, "version 2"},
		"without its opening": {strings.Join(lines[1:], ""), start, 1, 0, "altered"},
		"another site":        {whole, ledger.Start("annex"), 1, 0, `"yard", not of site "annex"`},
		"gap to what is here": {
			string(export(t, facts[3].Head(), facts[4:])), facts[1].Head(), 1, 0, "export again from fact 3"},
		"a fact left out":  {strings.Join(slices.Delete(slices.Clone(lines), 2, 3), ""), start, 3, 2, "missing"},
		"facts swapped":    {lines[0] + lines[2] + lines[1] + strings.Join(lines[3:], ""), start, 2, 1, "missing"},
		"a fact twice":     {lines[0] + lines[1] + lines[1] + strings.Join(lines[2:], ""), start, 3, 2, "again"},
		"an empty line":    {lines[0] + "\n" + strings.Join(lines[1:], ""), start, 2, 1, "not a line"},
		"something behind": {whole + "\n", start, 8, 7, "after the closing line"},
		"two files in one": {whole + whole, start, 8, 7, "after the closing line"},
		"lines of DOS":     {strings.ReplaceAll(whole, "\n", "\r\n"), start, 1, 0, "altered"},
		"a longer line":    {strings.Repeat("x", 1<<24), start, 1, 0, "longer than"},
		"another history":  {whole, forked.Head(), 5, 4, "two histories"},
		"another history right behind": {
			string(export(t, facts[3].Head(), facts[4:])), forked.Head(), 1, 0, "two histories"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := load([]byte(c.file), c.have)
			e, ok := errors.AsType[*ledger.FileError](err)
			if !ok {
				t.Fatalf("error %v, want a *FileError", err)
			}
			if e.Line != c.line || e.Seq != c.seq || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v\nwant line %d, fact %d, saying %q", err, c.line, c.seq, c.says)
			}
		})
	}
}

func TestForgedFileIsRefusedWithTheBrokenFact(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	file := string(export(t, start, chain(t, start, 6)))
	forged := strings.Replace(file, `\"slip\":\"S4\",\"pieces\":40`, `\"slip\":\"S4\",\"pieces\":10`, 1)
	_, err := load([]byte(forged), start)
	brokenAt(t, err, 4)
	want := `ledger file, line 5 (fact 4): ledger of site "yard" is broken at fact 4: ` +
		`its hash is not that of its contents; compare with an export or a backup`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

func TestReaderStaysAtItsError(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	file := export(t, start, chain(t, start, 3))
	r, err := ledger.NewReader(bytes.NewReader(file[:len(file)/2]), start)
	if err != nil {
		t.Fatal(err)
	}
	var first error
	for first == nil {
		_, first = r.Read()
	}
	if _, again := r.Read(); again != first {
		t.Errorf("Read() = %v after %v", again, first)
	}
}

// A fault of the disk is not taken for the end of the file.
func TestReadErrorIsPassedOn(t *testing.T) {
	t.Parallel()
	start := ledger.Start("yard")
	file := export(t, start, chain(t, start, 3))
	fault := errors.New("input/output error")
	r, err := ledger.NewReader(io.MultiReader(bytes.NewReader(file[:len(file)-1]), failing{fault}), start)
	for err == nil {
		_, err = r.Read()
	}
	if !errors.Is(err, fault) {
		t.Errorf("error %v, want %v", err, fault)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error)  { return 0, f.err }
func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestBrokenChainIsNotExported(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 3)
	w, err := ledger.NewWriter(io.Discard, ledger.Start("yard"))
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Write(facts[0]); err != nil {
		t.Fatal(err)
	}
	brokenAt(t, w.Write(facts[2]), 2)
}

func TestExportToAFullDiskFails(t *testing.T) {
	t.Parallel()
	full := errors.New("no space left on device")
	w, err := ledger.NewWriter(failing{full}, ledger.Start("yard"))
	if err == nil {
		err = w.Close()
	}
	if !errors.Is(err, full) {
		t.Errorf("error %v, want %v", err, full)
	}
}

func FuzzReader(f *testing.F) {
	start := ledger.Start("yard")
	facts := chain(f, start, 3)
	whole := export(f, start, facts)
	f.Add(whole)
	f.Add(whole[:len(whole)-2])
	f.Add(export(f, facts[0].Head(), facts[1:]))
	f.Add(bytes.Replace(whole, []byte("S2"), []byte("S9"), 1))
	f.Add([]byte(`{"ledger":1,"site":"yard","from":-1,"prev":"","noted_us":0}` + "\n"))
	f.Add([]byte(fmt.Sprintf(`{"end":0,"hash":"%s","sha256":""}`+"\n", ledger.Genesis)))
	f.Fuzz(func(t *testing.T, file []byte) {
		r, err := ledger.NewReader(bytes.NewReader(file), ledger.Head{})
		if err != nil {
			return
		}
		from := r.Head()
		var read []ledger.Fact
		for err == nil {
			var fact ledger.Fact
			if fact, err = r.Read(); err == nil {
				read = append(read, fact)
			}
		}
		if !errors.Is(err, io.EOF) {
			return
		}
		// What is taken is whole: writing it again gives the same bytes.
		if again := export(t, from, read); !bytes.Equal(again, file) {
			t.Errorf("took\n%q\nwhich is written as\n%q", file, again)
		}
	})
}

func BenchmarkReader(b *testing.B) {
	start := ledger.Start("yard")
	const n = 10_000
	file := export(b, start, chain(b, start, n))
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		if facts, err := load(file, start); err != nil || len(facts) != n {
			b.Fatal(len(facts), err)
		}
	}
	b.ReportMetric(float64(n*b.N)/b.Elapsed().Seconds(), "facts/s")
}
