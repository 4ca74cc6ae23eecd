package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"

	"ovenward/forecast/demand"
)

// noR is what is said where R or its package is not installed. It is asked for by
// nothing else, so that it is not installed for this alone.
const noR = "R's forecast package is not here: Croston is held to stored values alone"

// sameAsR is how far a forecast may be from R's, over it: both add up doubles.
const sameAsR = 1e-9

// rSeries is how many series are compared, from a fixed seed: few, since R takes much
// longer over each than the program.
const rSeries = 12

// croston compares the forecasts of use that no joint explains with those of R's
// package forecast: Croston's, with its two corrections where the package is new
// enough to have them, and exponential smoothing from the first figure. The package
// has neither TSB nor the plain mean.
func (c *check) croston(ctx context.Context) error {
	version, err := c.forecastPackage(ctx)
	if err != nil {
		return err
	}
	if version == "" {
		fmt.Fprintln(c.out, noR)
		return nil
	}
	series := drawSeries()
	cmd := c.command(ctx, rProgram, "-")
	cmd.Stdin = strings.NewReader(crostonScript(series))
	out, err := output(cmd)
	if err != nil {
		return err
	}
	agree, err := compareWithR(series, strings.Fields(out))
	if err != nil {
		return err
	}
	for _, m := range inR {
		if n := agree[m.method]; n > 0 {
			fmt.Fprintf(c.out, "%s: %d forecasts agree with R's forecast package %s\n", m.method, n, version)
		} else {
			fmt.Fprintf(c.out, "%s: not in R's forecast package %s, held to stored values alone\n", m.method, version)
		}
	}
	return nil
}

const rProgram = "Rscript"

// forecastPackage returns the version of R's forecast package; empty where there is
// none, or no R.
func (c *check) forecastPackage(ctx context.Context) (string, error) {
	if _, missing := exec.LookPath(rProgram); missing != nil {
		return "", nil //nolint:nilerr // what is missing is said by the caller
	}
	return output(c.command(ctx, rProgram, "-e",
		`if (requireNamespace("forecast", quietly = TRUE)) cat(format(packageVersion("forecast")))`))
}

// inR is how R computes a method, in the order of its answers. SES is fixed in its
// weight and begins at the first figure.
var inR = []struct {
	method demand.Method
	call   string
}{
	{demand.Croston, `croston(y, h = 1, alpha = w)$mean[1]`},
	{demand.SBA, `if (typed) croston(y, h = 1, alpha = w, type = "sba")$mean[1] else NA`},
	{demand.SBJ, `if (typed) croston(y, h = 1, alpha = w, type = "sbj")$mean[1] else NA`},
	{demand.SES, `ses(y, h = 1, alpha = w, initial = "simple")$mean[1]`},
}

// rWeights are the smoothing weights that are compared.
var rWeights = []float64{demand.Smoothing, 0.3}

// drawSeries draws weeks of use, of which a part that differs from series to series
// is zero; each begins and ends so that R takes it as it is: with two uses at least.
func drawSeries() [][]float64 {
	r := rand.New(rand.NewPCG(2015, 4))
	list := make([][]float64, rSeries)
	for i := range list {
		idle := r.Float64() * 0.9
		for len(demand.ReadIntervals(list[i], demand.Smoothing).Sizes) < 2 {
			list[i] = make([]float64, 12+r.IntN(90))
			for t := range list[i] {
				if r.Float64() >= idle {
					list[i][t] = float64(1 + r.IntN(60))
				}
			}
		}
	}
	return list
}

// crostonScript prints R's forecasts, one a line: by series, weight and method.
func crostonScript(series [][]float64) string {
	var b strings.Builder
	b.WriteString("suppressPackageStartupMessages(library(forecast))\nsay <- function(x) cat(sprintf(\"%.17g\\n\", as.numeric(x)))\n" +
		"typed <- \"type\" %in% names(formals(croston))\none <- function(y, w) {\n")
	for _, m := range inR {
		fmt.Fprintf(&b, "  say(%s)\n", m.call)
	}
	b.WriteString("}\n")
	for _, s := range series {
		texts := make([]string, len(s))
		for i, y := range s {
			texts[i] = strconv.FormatFloat(y, 'g', -1, 64)
		}
		for _, w := range rWeights {
			fmt.Fprintf(&b, "one(c(%s), %v)\n", strings.Join(texts, ","), w)
		}
	}
	return b.String()
}

// compareWithR sets R's answers against the program's own and returns how many of
// each method agree. What R does not have it answers with NA.
func compareWithR(series [][]float64, answers []string) (map[demand.Method]int, error) {
	if want := len(series) * len(rWeights) * len(inR); len(answers) != want {
		return nil, fmt.Errorf("forecasts printed by R: %d, want %d", len(answers), want)
	}
	agree := map[demand.Method]int{}
	n := 0
	for i, s := range series {
		for _, w := range rWeights {
			for _, m := range inR {
				answer := answers[n]
				n++
				if answer == "NA" {
					continue
				}
				want, err := strconv.ParseFloat(answer, 64)
				if err != nil {
					return nil, fmt.Errorf("%s by R of series %d: %w", m.method, i, err)
				}
				if got := m.method.Forecast(s, w); !(math.Abs(got-want) <= sameAsR*want) {
					return nil, fmt.Errorf("%s of series %d, %v, weight %v: %v, R has %v", m.method, i, s, w, got, want)
				}
				agree[m.method]++
			}
		}
	}
	return agree, nil
}
