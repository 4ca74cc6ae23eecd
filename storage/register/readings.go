package register

import (
	"bytes"
	"fmt"
	"strconv"

	"ovenward/inventory/sheet"
	"ovenward/storage/feed"
)

// Readings returns the mapping with which package feed reads a register of oven
// readings, and the oven that all of it is of where one value stands for all
// rows. Head is the start of the file, its header at least. The errors are those
// of Read.
func Readings(head []byte, m Mapping) (f feed.Mapping, place string, err error) {
	rows, err := sheet.NewReader(bytes.NewReader(head))
	if err != nil {
		return f, "", err
	}
	header, err := rows.Next()
	if err != nil {
		return f, "", err
	}
	c, err := find(header, Oven, m)
	if err != nil {
		return f, "", err
	}
	for _, name := range []string{"time", "date", "temp"} {
		if _, fixed := c.fixed[name]; fixed {
			return f, "", &MappingError{name, "every reading has its own", "name its column with --map"}
		}
	}
	f = feed.Mapping{Time: c.named("time"), Date: c.named("date"), Value: c.named("temp"), Layout: m.Layout, DecimalComma: m.DecimalComma}
	if place = c.fixed["place"]; place == "" {
		f.Sensor = c.named("place")
	}
	return f, place, nil
}

// named returns the column of a field by its name, or by its number where the
// name is not its own; empty for none.
func (c *columns) named(field string) string {
	i, ok := c.at[field]
	if !ok {
		return ""
	}
	name := c.header[i]
	alike := 0
	for _, h := range c.header {
		if plainName(h) == plainName(name) {
			alike++
		}
	}
	if _, err := strconv.Atoi(name); err == nil || name == "" || alike > 1 {
		return fmt.Sprint(i + 1)
	}
	return name
}
