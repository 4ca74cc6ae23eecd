package measure

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"time"
)

// Duration is an elapsed time in microseconds.
type Duration int64

// Units of elapsed time. A Day is 24 elapsed hours, never a calendar day.
const (
	Microsecond Duration = 1
	Millisecond          = 1_000 * Microsecond
	Second               = 1_000 * Millisecond
	Minute               = 60 * Second
	Hour                 = 60 * Minute
	Day                  = 24 * Hour
)

var durationUnits = unitTable{
	"s": rat(Second), "sec": rat(Second), "second": rat(Second), "seconds": rat(Second),
	"m": rat(Minute), "min": rat(Minute), "minute": rat(Minute), "minutes": rat(Minute),
	"h": rat(Hour), "hr": rat(Hour), "hour": rat(Hour), "hours": rat(Hour),
	"d": rat(Day), "day": rat(Day), "days": rat(Day),
}

func rat(d Duration) *big.Rat { return big.NewRat(int64(d), 1) }

const writeDuration = "hours and minutes such as 3:45, or a number with h, min or days such as 4h"

// ParseDuration reads "4h", "30 min", "10 days", "4h30m", "3:45" (hours and
// minutes) and "3:45:10"; a minus sign in front is that of the whole. The error
// is a *UnitError; a bare number is refused.
func ParseDuration(s string) (Duration, error) {
	text := fold(s)
	if strings.Contains(text, ":") {
		return parseClock(s, text)
	}
	negative := strings.HasPrefix(text, "-")
	var total Duration
	for rest, first := text, true; first || rest != ""; first = false {
		part, tail := cutPart(rest)
		n, err := durationUnits.parse("duration", part, writeDuration)
		if err != nil {
			return 0, durationError(s, why(err))
		}
		if negative && !first {
			n = -n
		}
		sum, ok := total.plus(Duration(n))
		if !ok {
			return 0, durationError(s, "too large")
		}
		total, rest = sum, tail
	}
	return total, nil
}

func durationError(s, why string) error {
	return &UnitError{Kind: "duration", Value: s, Why: why, Write: writeDuration}
}

// plus adds, unless the sum is beyond what a Duration holds.
func (d Duration) plus(o Duration) (Duration, bool) {
	sum := d + o
	return sum, (sum > d) == (o > 0)
}

// cutPart cuts "4h30m" after its first unit.
func cutPart(s string) (part, tail string) {
	seenUnit := false
	for i, r := range s {
		digit := r >= '0' && r <= '9'
		if digit && seenUnit {
			return s[:i], s[i:]
		}
		seenUnit = seenUnit || (!digit && !strings.ContainsRune("+-., /", r))
	}
	return s, ""
}

func parseClock(s, text string) (Duration, error) {
	digits, negative := strings.CutPrefix(text, "-")
	parts := strings.Split(digits, ":")
	if len(parts) > 3 {
		return 0, durationError(s, "not hours and minutes")
	}
	var total Duration
	for i, p := range parts {
		n, err := strconv.ParseUint(p, 10, 32)
		if err != nil || (i > 0 && (len(p) != 2 || n > 59)) {
			return 0, durationError(s, "not hours and minutes")
		}
		unit := [...]Duration{Hour, Minute, Second}[i]
		sum, ok := total.plus(Duration(n) * unit)
		if !ok || Duration(n) > math.MaxInt64/unit {
			return 0, durationError(s, "too large")
		}
		total = sum
	}
	if negative {
		total = -total
	}
	return total, nil
}

// clock parts a duration into its sign, "-" or "", and whole hours, minutes and
// seconds. Parts of a second are dropped.
func (d Duration) clock() (sign string, h, m, s uint64) {
	size := uint64(d)
	if d < 0 {
		size = -size
	}
	h, m, s = size/uint64(Hour), size%uint64(Hour)/uint64(Minute), size%uint64(Minute)/uint64(Second)
	if d < 0 && h+m+s > 0 {
		sign = "-"
	}
	return sign, h, m, s
}

// String prints hours and minutes, "3:45", and seconds where there are any,
// "3:45:10". Parts of a second are dropped.
func (d Duration) String() string {
	sign, h, m, s := d.clock()
	if s == 0 {
		return fmt.Sprintf("%s%d:%02d", sign, h, m)
	}
	return fmt.Sprintf("%s%d:%02d:%02d", sign, h, m, s)
}

// Words prints the duration for a sentence: "3 h 45 min", "12 min", "40 s".
// Parts of a second are dropped.
func (d Duration) Words() string {
	sign, h, m, s := d.clock()
	switch {
	case h == 0 && m == 0:
		return fmt.Sprintf("%s%d s", sign, s)
	case h == 0 && s == 0:
		return fmt.Sprintf("%s%d min", sign, m)
	case h == 0:
		return fmt.Sprintf("%s%d min %d s", sign, m, s)
	case s != 0:
		return fmt.Sprintf("%s%d h %d min %d s", sign, h, m, s)
	case m == 0:
		return fmt.Sprintf("%s%d h", sign, h)
	}
	return fmt.Sprintf("%s%d h %d min", sign, h, m)
}

// Std returns the duration as the standard library's.
func (d Duration) Std() time.Duration { return time.Duration(d) * time.Microsecond }

// why returns what is wrong with the text that an error is about.
func why(err error) string {
	if u, ok := errors.AsType[*UnitError](err); ok {
		return u.Why
	}
	return err.Error()
}
