package metal

import (
	_ "embed"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"ovenward/forecast/joint"
	"ovenward/forecast/rows"
	"ovenward/inventory/measure"
)

//go:embed default.toml
var defaultTables string

// Default returns the tables that come with the program: AWS A5.1 classes in
// US sizes, most of their rows from memory.
func Default() (*Catalogue, error) {
	c, err := Read(strings.NewReader(defaultTables))
	if err != nil {
		return nil, fmt.Errorf("tables that come with the program: %w", err)
	}
	return c, nil
}

// source is what every row must carry.
type source struct {
	Source string       `toml:"source"`
	Status joint.Status `toml:"status"`
}

// file is the shape of a file of tables. Quantities are text with their unit.
type file struct {
	Density []struct {
		Class string `toml:"class"`
		Value string `toml:"value"`
		source
	} `toml:"density"`
	Rod []struct {
		Class    string `toml:"class"`
		Diameter string `toml:"diameter"`
		Core     string `toml:"core"`
		Length   string `toml:"length"`
		Stub     string `toml:"stub"`
		source
	} `toml:"rod"`
	Efficiency []struct {
		Class    string  `toml:"class"`
		Diameter string  `toml:"diameter"`
		Value    float64 `toml:"value"`
		Basis    Basis   `toml:"basis"`
		Stub     string  `toml:"stub"`
		source
	} `toml:"efficiency"`
	Coating []struct {
		Class string  `toml:"class"`
		Share float64 `toml:"share"`
		source
	} `toml:"coating"`
	Bead []struct {
		Class    string  `toml:"class"`
		Diameter string  `toml:"diameter"`
		AreaMM2  float64 `toml:"area_mm2"`
		RunOut   string  `toml:"run_out"`
		source
	} `toml:"bead"`
	Piece []struct {
		Class    string `toml:"class"`
		Diameter string `toml:"diameter"`
		Mass     string `toml:"mass"`
		source
	} `toml:"piece"`
	Flux []struct {
		Class string  `toml:"class"`
		Ratio float64 `toml:"ratio"`
		source
	} `toml:"flux"`
	paceFile
}

// Read reads tables from TOML. A key that is unknown, a unit that is missing, a
// figure out of range, a row without source or status and a row that is there
// twice are errors, and the error names the line, the row and the field.
func Read(r io.Reader) (*Catalogue, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("tables: %w", err)
	}
	var f file
	l := loader{c: newCatalogue(), text: rows.Text(text)}
	md, err := toml.Decode(string(text), &f)
	if err == nil {
		err = l.text.UnknownKey(md)
	}
	if err != nil {
		return nil, fmt.Errorf("tables: %w", err)
	}
	l.densities(f)
	l.rods(f)
	l.efficiencies(f)
	l.coatings(f)
	l.beads(f)
	l.pieces(f)
	l.fluxes(f)
	l.paces(f.paceFile)
	if l.err != nil {
		return nil, l.err
	}
	return l.c, nil
}

// loader puts rows into a catalogue and keeps the first error.
type loader struct {
	c    *Catalogue
	text rows.Text
	at   place // the row being read
	err  error
}

// place is a row of a file. Where that is in the text is asked for by an error
// only: it takes longer than to read the row.
type place struct {
	table string
	index int
	label string
}

func (l *loader) fail(format string, args ...any) {
	if l.err == nil {
		l.err = fmt.Errorf("%s: %w", l.text.At(l.at.table, l.at.index, l.at.label), fmt.Errorf(format, args...))
	}
}

// begin starts a row and checks what every row must carry.
func (l *loader) begin(table string, index int, class, diameter string, s source) key {
	l.at = place{table, index, class + " " + diameter}
	switch s.Status {
	case joint.Confirmed, joint.SingleSource, joint.Memory, joint.Shop:
	default:
		l.fail("status %q: unknown; write %s, %s, %s or %s", s.Status, joint.Confirmed, joint.SingleSource, joint.Memory, joint.Shop)
	}
	if strings.TrimSpace(s.Source) == "" {
		l.fail("source: empty; name the table, page or person the figure comes from")
	}
	k := key{class: FoldClass(class)}
	if diameter != "" {
		k.diameter = l.length("diameter", diameter)
	}
	if k.class == "" && table != "bead" && table != "flux" {
		l.fail("class: empty; write the class the row is for")
	}
	return k
}

func (l *loader) length(name, text string) measure.Length {
	v, err := measure.ParseLength(text)
	if err != nil {
		l.fail("%s: %w", name, err)
		return 0
	}
	if v <= 0 || v > 10*measure.Metre {
		l.fail("%s %q: not above zero and at most 10 m; write the size of one rod", name, text)
	}
	return v
}

// needsDiameter refuses a row without one.
func (l *loader) needsDiameter(k key) {
	if k.diameter == 0 {
		l.fail("diameter: empty; write the nominal diameter, such as 1/8 in")
	}
}

// put stores a row and refuses a second one for the same key.
func put[T any](l *loader, into map[key]figure[T], k key, v T, r Row) {
	if other, twice := nearest(into, k); twice {
		l.fail("there twice, also as %s; delete one of the two rows", other)
	}
	into[k] = figure[T]{v, r}
}

func (l *loader) densities(f file) {
	for i, d := range f.Density {
		k := l.begin("density", i, d.Class, "", d.source)
		v, err := ParseDensity(d.Value)
		if err != nil {
			l.fail("%w", err)
		}
		put(l, l.c.density, k, v, Row{"density", k.String(), v.String(), d.Source, d.Status})
	}
}

func (l *loader) rods(f file) {
	for i, r := range f.Rod {
		k := l.begin("rod", i, r.Class, r.Diameter, r.source)
		l.needsDiameter(k)
		size := rodSize{core: k.diameter, length: l.length("length", r.Length), stub: l.length("stub", r.Stub)}
		if r.Core != "" {
			size.core = l.length("core", r.Core)
		}
		text := fmt.Sprintf("core %s, length %s, stub %s",
			joint.SizeText(size.core), joint.SizeText(size.length), joint.SizeText(size.stub))
		put(l, l.c.rod, k, size, Row{"rod", k.String(), text, r.Source, r.Status})
	}
}

func (l *loader) efficiencies(f file) {
	for i, e := range f.Efficiency {
		k := l.begin("efficiency", i, e.Class, e.Diameter, e.source)
		if e.Basis != Wire { // that of a wire hardly depends on it
			l.needsDiameter(k)
		}
		v := Efficiency{Value: e.Value, Basis: e.Basis}
		if e.Stub != "" {
			v.Stub = l.length("stub", e.Stub)
		}
		if err := v.check(); err != nil {
			l.fail("%w", err)
		}
		put(l, l.c.efficiency, k, v, Row{"efficiency", k.String(), v.String(), e.Source, e.Status})
	}
}

func (l *loader) coatings(f file) {
	for i, c := range f.Coating {
		k := l.begin("coating", i, c.Class, "", c.source)
		if !(c.Share > 0 && c.Share < 0.9) {
			l.fail("share %v: not above 0 and below 0.9; write the covering's part of the mass, such as 0.32", c.Share)
		}
		put(l, l.c.coating, k, c.Share, Row{"coating", k.String(), ratioText(c.Share), c.Source, c.Status})
	}
}

func (l *loader) beads(f file) {
	for i, b := range f.Bead {
		k := l.begin("bead", i, b.Class, b.Diameter, b.source)
		l.needsDiameter(k)
		v := bead{area: joint.Area(b.AreaMM2)}
		text := strconv.FormatFloat(b.AreaMM2, 'f', -1, 64) + " mm2"
		if b.RunOut != "" {
			v.runOut = l.length("run_out", b.RunOut)
			text = "one rod over " + joint.SizeText(v.runOut)
		}
		if (b.AreaMM2 == 0) == (b.RunOut == "") || !(b.AreaMM2 >= 0 && b.AreaMM2 <= 1000) {
			l.fail("area_mm2 %v and run_out %q; write one of them, an area above 0 and at most 1000",
				b.AreaMM2, b.RunOut)
		}
		put(l, l.c.bead, k, v, Row{"bead", k.String(), text, b.Source, b.Status})
	}
}

func (l *loader) pieces(f file) {
	for i, p := range f.Piece {
		k := l.begin("piece", i, p.Class, p.Diameter, p.source)
		l.needsDiameter(k)
		v, err := measure.ParseMass(p.Mass)
		if err != nil {
			l.fail("mass: %w", err)
		} else if v <= 0 {
			l.fail("mass %q: not above zero; write the mass of one rod", p.Mass)
		}
		put(l, l.c.piece, k, v, Row{"piece", k.String(), v.String(), p.Source, p.Status})
	}
}

func (l *loader) fluxes(f file) {
	for i, x := range f.Flux {
		k := l.begin("flux", i, x.Class, "", x.source)
		if !(x.Ratio > 0 && x.Ratio <= 5) {
			l.fail("ratio %v: not above 0 and at most 5; write kilograms of flux for each kilogram of wire, such as 1.0", x.Ratio)
		}
		label := k.class
		if label == "" {
			label = "any flux"
		}
		text := strconv.FormatFloat(x.Ratio, 'f', -1, 64) + " kg for each kg of wire"
		put(l, l.c.flux, k, x.Ratio, Row{"flux", label, text, x.Source, x.Status})
	}
}

func ratioText(r float64) string { return strconv.FormatFloat(r*100, 'f', -1, 64) + " %" }
