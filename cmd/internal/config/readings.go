package config

import (
	"cmp"
	"fmt"
	"path"

	"ovenward/cmd/internal/folder"
	"ovenward/storage/feed"
)

// Readings say where the daemon reads ovens by itself.
type Readings struct {
	Folders []folder.Settings
}

// writtenReadings is the table of them as it is written.
type writtenReadings struct {
	Folder []writtenFolder `toml:"folder"`
}

// writtenTable says how a table of readings is written.
type writtenTable struct {
	Place        string `toml:"place"`
	Sensor       string `toml:"sensor"`
	Time         string `toml:"time"`
	Date         string `toml:"date"`
	Value        string `toml:"value"`
	Unit         string `toml:"unit"`
	Layout       string `toml:"layout"`
	DecimalComma bool   `toml:"decimal_comma"`
}

type writtenFolder struct {
	Name  string `toml:"name"`
	Path  string `toml:"path"`
	Files string `toml:"files"`
	writtenTable
}

// readings reads the tables of readings.
func (r reader) readings(w writtenReadings) (out Readings, err error) {
	names := map[string]bool{}
	for i, f := range w.Folder {
		at := r.at("readings.folder", f.Name, i)
		one, err := at.folder(f)
		if err != nil {
			return out, err
		}
		if names[one.Name] {
			return out, at.fault("name", "another folder has this name")
		}
		names[one.Name] = true
		out.Folders = append(out.Folders, one)
	}
	return out, nil
}

// at returns a reader of one of several tables.
func (r reader) at(table, name string, i int) reader {
	r.where = table + " " + cmp.Or(name, fmt.Sprint(i+1))
	return r
}

func (r reader) folder(w writtenFolder) (s folder.Settings, err error) {
	s = folder.Settings{Name: w.Name, Path: w.Path, Files: cmp.Or(w.Files, "*.csv"), Place: w.Place}
	if w.Name == "" {
		return s, r.fault("name", "a folder has a name")
	}
	if w.Path == "" {
		return s, r.fault("path", "say which folder")
	}
	if _, err := path.Match(s.Files, ""); err != nil {
		return s, r.fault("files", "%q: a pattern such as *.csv", w.Files)
	}
	if (w.Place == "") == (w.Sensor == "") {
		return s, r.fault("place", "give place for files of one oven, or sensor with the column that names sensors or places")
	}
	s.Mapping, err = r.mapping(w.writtenTable)
	return s, err
}

// mapping reads how rows are written; what is left out is as oven load takes it.
func (r reader) mapping(w writtenTable) (feed.Mapping, error) {
	m := feed.Mapping{Time: cmp.Or(w.Time, "time"), Date: w.Date, Value: cmp.Or(w.Value, "temp"), Sensor: w.Sensor,
		Unit: w.Unit, Layout: w.Layout, DecimalComma: w.DecimalComma}
	if err := r.unit(w.Unit); err != nil {
		return m, err
	}
	if _, err := feed.NewClock(m.Layout, nil); err != nil {
		return m, r.fault("layout", "%v", err)
	}
	return m, nil
}

func (r reader) unit(text string) error {
	switch text {
	case "", "C", "F":
		return nil
	}
	return r.fault("unit", "%q: use C or F", text)
}
