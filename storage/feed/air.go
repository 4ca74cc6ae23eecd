package feed

import (
	"errors"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

var errNoPercent = errors.New(`no % sign; write it in the header, as in "RH (%)", or behind each number`)

// air reads what a row says of the air besides its temperature.
func (f *file) air(cells [][]byte, r *Row) *RowError {
	c := &f.columns
	if c.humidity >= 0 {
		h, err := f.hygrometer(sheet.Trim(cells[c.humidity]))
		if err != nil {
			return c.bad(c.humidity, cells, r.Line, err)
		}
		r.Humidity = h
	}
	if c.weather >= 0 {
		r.Weather = f.names.of(sheet.Trim(cells[c.weather]))
	}
	return nil
}

// hygrometer reads a relative humidity. A bare number is one of per cent where the
// header of its column says so.
func (f *file) hygrometer(cell []byte) (measure.Humidity, error) {
	s := sheet.Text(cell)
	if f.gauge.decimalComma {
		s = strings.Replace(s, ",", ".", 1)
	}
	if endsBare(cell) {
		if i := f.columns.humidity; i >= len(f.columns.names) || !strings.Contains(f.columns.names[i], "%") {
			return 0, errNoPercent
		}
		s += " %"
	}
	return measure.ParseHumidity(s)
}
