package config_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/cmd/internal/config"
	"ovenward/storage/feed"
)

// HOOK is set in the environment of the tests and is long enough for a token.
func TestWhereReadingsComeFromIsRead(t *testing.T) {
	t.Parallel()
	c, err := read(t, `
[listen]
address = "127.0.0.1:9464"

[[readings.folder]]
name = "loggers"
path = "/srv/loggers"
place = "H1"
unit = "F"
layout = "DD.MM.YYYY hh:mm"

[readings.push]
token_env = "HOOK"
max_bytes = 4096
`)
	if err != nil || len(c.Readings.Folders) != 1 || c.Readings.Push == nil {
		t.Fatalf("%+v, %v: a folder and a push expected", c.Readings, err)
	}
	f, p := c.Readings.Folders[0], c.Readings.Push
	if want := (feed.Mapping{Time: "time", Value: "temp", Unit: "F", Layout: "DD.MM.YYYY hh:mm"}); f.Mapping != want || f.Files != "*.csv" {
		t.Errorf("the folder is %+v, want files *.csv and %+v", f, want)
	}
	if p.Path != "/readings" || p.Most != 4096 || p.Mapping.Sensor != "sensor" || len(p.Token) < 16 {
		t.Errorf("push is %+v", p)
	}
}

func TestWhatIsWrongWithReadingsIsNamed(t *testing.T) {
	t.Parallel()
	const folder = "[[readings.folder]]\nname = \"a\"\npath = \"/srv\"\n"
	const listen, push = "[listen]\naddress = \"127.0.0.1:9464\"\n", "[readings.push]\ntoken_env = \"HOOK\"\n"
	const device = "[[readings.modbus]]\nname = \"plc\"\naddress = \"10.0.0.7:502\"\n"
	const point = "[[readings.modbus.point]]\nplace = \"H1\"\nkind = \"holding\"\nregister = 10\nform = \"int16\"\nunit = \"C\"\n"
	changed := func(old, to string) string { return device + strings.Replace(point, old, to, 1) }
	for text, want := range map[string]string{
		device: "point",
		strings.Replace(device, ":502", "", 1) + point:          "host and port",
		device + "within = \"1h\"\n" + point:                    "10 s at most",
		device + point + device + point:                         "another device",
		changed("holding", "coil"):                              "holding or input",
		changed("= 10", "= 70000"):                              "0 to 65535",
		changed("int16", "int12"):                               "int16, uint16",
		changed("unit = \"C\"", ""):                             "use C or F",
		changed("\"C\"", "\"K\""):                               "use C or F",
		device + point + "scale = 0.0":                          "cold",
		device + point + "unit_id = 300":                        "1 to 247",
		changed("place = \"H1\"", ""):                           "point.place",
		folder:                                                  "place",
		folder + "place = \"H1\"\nsensor = \"oven\"":            "place",
		folder + "place = \"H1\"\nunit = \"K\"":                 "use C or F",
		folder + "place = \"H1\"\nlayout = \"yesterday\"":       "layout",
		folder + "place = \"H1\"\nfiles = \"[\"":                "pattern",
		folder + "place = \"H1\"\n" + folder + "place = \"H2\"": "another folder",
		"[[readings.folder]]\nname = \"a\"\nplace = \"H1\"":     "which folder",
		"[[readings.folder]]\npath = \"/srv\"":                  "has a name",
		push:                                                    "add [listen]",
		listen + "[readings.push]":                              "token_file or token_env",
		listen + strings.Replace(push, "HOOK", "BAD", 1):        "16 at least",
		listen + push + "path = \"/metrics\"":                   "path",
		listen + push + "path = \"readings\"":                   "path",
		listen + push + "max_bytes = 1000000000":                "max_bytes",
		listen + push + "place = \"H1\"\nsensor = \"oven\"":     "place",
		listen + push + "colour = \"red\"":                      "colour",
	} {
		_, err := read(t, text)
		if _, ok := errors.AsType[*config.FileError](err); !ok || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "hunter2") {
			t.Errorf("%q: error %v, want one that names %q and no secret", text, err, want)
		}
	}
}
