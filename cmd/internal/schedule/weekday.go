package schedule

import (
	"fmt"
	"strings"
	"time"
)

// ParseWeekday reads the English name of a day of the week. Numbers are refused:
// not every program begins the week on the same day.
func ParseWeekday(text string) (time.Weekday, error) {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if strings.EqualFold(text, d.String()) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("day %q: write the name of a day of the week, such as monday", text)
}
