package joint

import (
	_ "embed"
	"fmt"
	"io"
	"strings"

	"github.com/BurntSushi/toml"

	"ovenward/forecast/rows"
	"ovenward/inventory/measure"
)

//go:embed preparations.toml
var preparationsText string

// DefaultCatalogue returns the named preparations that come with the program.
func DefaultCatalogue() (*Catalogue, error) {
	c, err := ReadCatalogue(strings.NewReader(preparationsText))
	if err != nil {
		return nil, fmt.Errorf("preparations that come with the program: %w", err)
	}
	return c, nil
}

// namedFile is the shape of a file of named preparations.
type namedFile struct {
	Version     string     `toml:"version"`
	Preparation []namedRow `toml:"preparation"`
}

type namedRow struct {
	Name     string      `toml:"name"`
	Process  string      `toml:"process"`
	Shape    Preparation `toml:"shape"`
	RootFace []string    `toml:"root_face"`
	Radius   string      `toml:"radius"`
	Backing  bool        `toml:"backing"`
	Gouge    bool        `toml:"gouge"`
	Options  []struct {
		Opening   []string `toml:"opening"`
		Angle     Angle    `toml:"angle"`
		Positions string   `toml:"positions"`
	} `toml:"options"`
	FitUp struct {
		Opening  []string `toml:"opening"`
		RootFace []string `toml:"root_face"`
		Angle    []Angle  `toml:"angle"`
	} `toml:"fit_up"`
	Note   string `toml:"note"`
	Source string `toml:"source"`
	Status Status `toml:"status"`
}

// ReadCatalogue reads named preparations from TOML. The error names the row: a
// key that is unknown, a unit that is missing, a name that is there twice or is a
// shape, a shape without walls, a row without options, source or status.
func ReadCatalogue(r io.Reader) (*Catalogue, error) {
	all, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("preparations: %w", err)
	}
	var f namedFile
	text := rows.Text(all)
	md, err := toml.Decode(string(all), &f)
	if err == nil {
		err = text.UnknownKey(md)
	}
	if err != nil {
		return nil, fmt.Errorf("preparations: %w", err)
	}
	c := &Catalogue{Version: f.Version, byName: map[string]*Named{}}
	for i, row := range f.Preparation {
		n, err := row.named()
		if err == nil && c.byName[strings.ToLower(n.Name)] != nil {
			err = fmt.Errorf("the name is there twice")
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", text.At("preparation", i, row.Name), err)
		}
		c.byName[strings.ToLower(n.Name)] = n
		c.names = append(c.names, n.Name)
	}
	return c, nil
}

func (r namedRow) named() (*Named, error) {
	n := &Named{Name: r.Name, Process: r.Process, Shape: r.Shape, Backing: r.Backing, Gouge: r.Gouge,
		Note: r.Note, Source: r.Source, Status: r.Status}
	if err := r.check(); err != nil {
		return nil, err
	}
	var err error
	if n.Root, err = rangeOf("root_face", r.RootFace, 0); err != nil {
		return nil, err
	}
	if r.Radius != "" {
		l, err := measure.ParseLength(r.Radius)
		if err != nil {
			return nil, fmt.Errorf("radius: %w", err)
		}
		n.Radius = Exactly(l)
	}
	for _, o := range r.Options {
		option := Option{Angle: o.Angle, Positions: o.Positions}
		if option.Opening, err = rangeOf("opening", o.Opening, 0); err != nil {
			return nil, err
		}
		if err := included("angle", o.Angle, widestV); err != nil {
			return nil, err
		}
		n.Options = append(n.Options, option)
	}
	return n, r.fitUp(&n.FitUp)
}

// check refuses a row that cannot be a preparation.
func (r namedRow) check() error {
	w, groove := wallsOf(r.Shape)
	_, shape := shapeOf(Preparation(r.Name))
	switch {
	case strings.TrimSpace(r.Name) == "" || shape:
		return fmt.Errorf("the name is empty or that of a shape; write the name of the code or of the shop")
	case !groove:
		return fmt.Errorf("shape %q has no walls; write one of V, bevel, U or J, single or double", r.Shape)
	case w.round != (r.Radius != ""):
		return fmt.Errorf("radius %q does not go with a %s", r.Radius, r.Shape)
	case len(r.Options) == 0:
		return fmt.Errorf("options: none; write at least one opening with its angle")
	case r.Backing && r.Gouge:
		return fmt.Errorf("backing and gouge exclude each other")
	case r.Source == "":
		return fmt.Errorf("source: empty; write the edition and the page")
	case r.Status != Confirmed && r.Status != SingleSource && r.Status != Memory && r.Status != Shop:
		return fmt.Errorf("status %q: unknown; write %s, %s, %s or %s", r.Status, Confirmed, SingleSource, Memory, Shop)
	}
	return nil
}

func (r namedRow) fitUp(f *FitUp) (err error) {
	if f.Opening, err = rangeOf("fit_up.opening", r.FitUp.Opening, -longestSection); err != nil {
		return err
	}
	if f.RootFace, err = rangeOf("fit_up.root_face", r.FitUp.RootFace, -longestSection); err != nil {
		return err
	}
	switch a := r.FitUp.Angle; {
	case len(a) == 0:
	case len(a) != 2 || !(a[0] <= 0 && a[1] >= 0 && a[0] > -widestV && a[1] < widestV):
		return fmt.Errorf("fit_up.angle %v: write what it may lack and what it may exceed, such as [-5, 10]", a)
	default:
		f.Angle.From, f.Angle.To = a[0], a[1]
	}
	return nil
}

// rangeOf reads one size or two.
func rangeOf(name string, texts []string, least measure.Length) (Range, error) {
	var r Range
	if len(texts) > 2 {
		return r, fmt.Errorf("%s: %d figures; write one, or the least and the most", name, len(texts))
	}
	for i, text := range texts {
		l, err := measure.ParseLength(text)
		if err != nil {
			return r, fmt.Errorf("%s: %w", name, err)
		}
		if l < least || l > longestSection {
			return r, fmt.Errorf("%s %s: not from %s to %s", name, text, least, longestSection)
		}
		if i == 0 {
			r.From = l
		}
		r.To = l
	}
	if r.To < r.From {
		return r, fmt.Errorf("%s %q: the most is below the least", name, texts)
	}
	return r, nil
}
