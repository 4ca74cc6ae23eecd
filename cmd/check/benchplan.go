package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"ovenward/forecast/demand"
	"ovenward/forecast/metal"
	"ovenward/forecast/plan"
)

const (
	sheetJoints = 100_000
	manyJoints  = 1_000_000
	fewJoints   = 10_000
	planRounds  = 2

	planAsked   = 5 * time.Second // for manyJoints, from the file to weekly pieces
	growthAsked = 1.5             // of the time of a joint, from fewJoints to manyJoints
)

// benchPlan computes planned joints to weekly pieces from a CSV file as "forecast"
// does, and the same joints with LibreOffice Calc from a sheet of formulas, which
// is what a buyer has at hand. Both must come to the same pieces in every week.
func (c *check) benchPlan(ctx context.Context) error {
	c.heading("bench plan", "planned joints to the pieces of every week")
	slow, err := c.planGrowth()
	if err != nil {
		return err
	}
	if err := c.planAgainstCalc(ctx); err != nil {
		return err
	}
	if slow {
		return fmt.Errorf("the forecast is slower than %v for %d joints, or does not grow with them alone", planAsked, manyJoints)
	}
	return nil
}

// planGrowth measures how the time grows with the joints.
func (c *check) planGrowth() (slow bool, err error) {
	each := map[int]float64{}
	for _, n := range []int{fewJoints, sheetJoints, manyJoints} {
		text := planFile(n)
		best, worked := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
		for range planRounds {
			before := processorTime()
			_, took, err := weeklyPieces(text)
			if err != nil {
				return false, err
			}
			best, worked = min(best, took), min(worked, processorTime()-before)
		}
		each[n] = float64(best.Nanoseconds()) / float64(n)
		fmt.Fprintf(c.out, "%9d joints: %7.3f s from the file to weekly pieces, %.0f ns a joint; processors worked %.3f s\n",
			n, best.Seconds(), each[n], worked.Seconds())
		slow = slow || n == manyJoints && best > planAsked
	}
	growth := each[manyJoints] / each[fewJoints]
	fmt.Fprintf(c.out, "a joint of %d takes %.2f times one of %d; %.2f is asked at most\n", manyJoints, growth, fewJoints, growthAsked)
	return slow || growth > growthAsked, nil
}

// planAgainstCalc computes the same joints by both.
func (c *check) planAgainstCalc(ctx context.Context) error {
	if _, err := exec.LookPath("soffice"); err != nil {
		if err := c.aptInstall(ctx, "LibreOffice Calc, with which the forecast is compared,", "libreoffice-calc"); err != nil {
			return err
		}
	}
	folder, err := os.MkdirTemp("", "ovenward-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	ours, took, err := weeklyPieces(planFile(sheetJoints))
	if err != nil {
		return err
	}
	sheet := filepath.Join(folder, "plan.fods")
	if err := os.WriteFile(sheet, planSheet(sheetJoints), 0o600); err != nil {
		return err
	}
	start := time.Now()
	convert := c.command(ctx, "soffice", "-env:UserInstallation=file://"+folder+"/profile", "--headless",
		"--convert-to", "csv", "--outdir", folder, sheet)
	if _, err := output(convert); err != nil {
		return fmt.Errorf("LibreOffice Calc: %w", err)
	}
	theirs := time.Since(start)
	made, err := os.ReadFile(filepath.Join(folder, "plan.csv"))
	if err != nil {
		return err
	}
	if err := samePieces(made, ours); err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%d joints: %.3f s, LibreOffice Calc %.1f s, ratio %.0f; the same pieces in every week\n",
		sheetJoints, took.Seconds(), theirs.Seconds(), theirs.Seconds()/took.Seconds())
	return nil
}

// weekPieces are the pieces of the smaller and of the larger rod in a week.
type weekPieces [2]int64

// weeklyPieces reads a plan and computes what its weeks need, in their order.
func weeklyPieces(text []byte) ([]weekPieces, time.Duration, error) {
	start := time.Now()
	p, err := plan.Read(bytes.NewReader(text))
	if err != nil {
		return nil, 0, err
	}
	c, err := metal.Default()
	if err != nil {
		return nil, 0, err
	}
	f, err := demand.Make(demand.Input{Joints: p.Joints, Catalogue: c})
	if err != nil {
		return nil, 0, err
	}
	took := time.Since(start)
	if len(p.Problems)+len(f.NotComputed) > 0 {
		return nil, 0, fmt.Errorf("%d cells cannot be read, %d joints cannot be computed", len(p.Problems), len(f.NotComputed))
	}
	var weeks []weekPieces
	for i := 0; i+1 < len(f.Lines); i += 2 { // both rods are needed in every week
		weeks = append(weeks, weekPieces{f.Lines[i].Pieces, f.Lines[i+1].Pieces})
	}
	return weeks, took, nil
}

// samePieces compares what Calc computed with ours. A sum in another order may
// round a week's last rod otherwise.
func samePieces(made []byte, ours []weekPieces) error {
	lines := slices.Collect(bytes.Lines(bytes.TrimSpace(made)))
	if len(lines) != len(ours) {
		return fmt.Errorf("LibreOffice Calc has %d weeks, the forecast %d", len(lines), len(ours))
	}
	for i, line := range lines {
		for k, cell := range bytes.Split(bytes.TrimSpace(line), []byte(",")) {
			n, err := strconv.ParseInt(string(cell), 10, 64)
			if err != nil || k > 1 {
				return fmt.Errorf("LibreOffice Calc's week %d reads %q", i+1, line)
			}
			if d := n - ours[i][k]; d < -1 || d > 1 {
				return fmt.Errorf("week %d: LibreOffice Calc has %d pieces, the forecast %d", i+1, n, ours[i][k])
			}
		}
	}
	return nil
}
