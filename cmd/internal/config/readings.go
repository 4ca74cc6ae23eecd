package config

import (
	"cmp"
	"fmt"
	"path"
	"strings"

	"ovenward/cmd/internal/folder"
	"ovenward/cmd/internal/push"
	"ovenward/cmd/internal/register"
	"ovenward/cmd/internal/topic"
	"ovenward/storage/feed"
)

// Readings say where the daemon reads ovens by itself.
type Readings struct {
	Folders []folder.Settings
	Push    *push.Settings // nil: nobody may send any
	Devices []register.Settings
	Topics  []topic.Settings
}

// writtenReadings is the table of them as it is written.
type writtenReadings struct {
	Folder []writtenFolder `toml:"folder"`
	Push   *writtenPush    `toml:"push"`
	Modbus []writtenDevice `toml:"modbus"`
	Topic  []writtenTopic  `toml:"topic"`
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
	r.where = "readings.push"
	if out.Push, err = r.push(w.Push); err != nil {
		return out, err
	}
	if out.Devices, err = r.devices(w.Modbus); err != nil {
		return out, err
	}
	out.Topics, err = r.topics(w.Topic)
	return out, err
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

type writtenPush struct {
	Name      string `toml:"name"`
	Path      string `toml:"path"`
	TokenFile string `toml:"token_file"`
	TokenEnv  string `toml:"token_env"`
	MaxBytes  int64  `toml:"max_bytes"`
	writtenTable
}

// Bounds on what is sent at once, in bytes, and on the token, in characters.
const (
	usualPush  = 1 << 20
	mostPush   = 64 << 20
	leastToken = 16
)

// push reads the table; nil where there is none.
func (r reader) push(w *writtenPush) (*push.Settings, error) {
	if w == nil {
		return nil, nil
	}
	s := &push.Settings{Name: cmp.Or(w.Name, "loggers"), Path: cmp.Or(w.Path, "/readings"), Most: cmp.Or(w.MaxBytes, usualPush), Place: w.Place}
	if !strings.HasPrefix(s.Path, "/") || strings.ContainsAny(s.Path, " {}?#") || s.Path == "/healthz" || s.Path == "/metrics" {
		return nil, r.fault("path", "%q: a path such as /readings", w.Path)
	}
	if s.Most < 0 || s.Most > mostPush {
		return nil, r.fault("max_bytes", "%d: %d at most", w.MaxBytes, mostPush)
	}
	if w.Place != "" && w.Sensor != "" {
		return nil, r.fault("place", "give place for readings of one oven, or sensor with the column that names sensors or places")
	}
	if w.Place == "" && w.Sensor == "" {
		w.Sensor = "sensor"
	}
	var err error
	if s.Token, err = r.secret("token", w.TokenFile, w.TokenEnv); err != nil {
		return nil, err
	}
	if len(s.Token) < leastToken {
		return nil, r.fault("token", "%d characters: %d at least, such as openssl rand -hex 16 makes", len(s.Token), leastToken)
	}
	s.Mapping, err = r.mapping(w.writtenTable)
	return s, err
}
