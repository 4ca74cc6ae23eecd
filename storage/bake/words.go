package bake

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
)

// fault is one part of a bake that failed.
type fault struct {
	result Result
	of     locus
	why    string
}

type faults []fault

func (f faults) add(r Result, of locus, format string, args ...any) faults {
	return append(f, fault{r, of, fmt.Sprintf(format, args...)})
}

// and appends the progress of a running bake.
func (f faults) and(progress string) faults { return append(f, fault{Running, nowhere, progress}) }

// worst returns the worst result, Valid where nothing failed.
func (f faults) worst() Result {
	worst := Valid
	for _, x := range f {
		worst = max(worst, x.result)
	}
	return worst
}

// String names all that failed.
func (f faults) String() string {
	whys := make([]string, len(f))
	for i, x := range f {
		whys[i] = x.why
	}
	return strings.Join(whys, "; ")
}

// show prints a temperature in the unit system that the rule set decides in.
func (r Run) show(t measure.Temperature) string {
	return t.In(r.Units)
}

// difference is show for a difference of temperatures, without decimals and
// rounded up, so that what is over a limit is not printed as the limit.
func (r Run) difference(d measure.Temperature) string {
	degree, unit := measure.Degree, "°C"
	if r.Units == measure.US {
		degree, unit = measure.FahrenheitDegree, "°F"
	}
	return fmt.Sprintf("%d %s", (d+degree-1)/degree, unit)
}

// words prints a duration to the second, a started one counted as whole, so
// that a lack is never printed as none.
func words(d measure.Duration) string {
	return ((d + measure.Second - 1) / measure.Second * measure.Second).Words()
}
