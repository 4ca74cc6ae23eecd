package timeline

import (
	"ovenward/inventory/measure"
)

func (r *replay) alert(subject map[string]string, at measure.Instant) (map[string]string, error) {
	panic("soon")
}
