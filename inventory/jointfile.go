package inventory

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// jointColumns are the columns of a list of joints and the field that each
// fills.
var jointColumns = map[string]func(j *JointSet, cell string) error{
	"joint":        func(j *JointSet, s string) error { j.Joint = s; return nil },
	"job":          func(j *JointSet, s string) error { j.Job = s; return nil },
	"procedure":    func(j *JointSet, s string) error { j.Procedure = s; return nil },
	"classes":      func(j *JointSet, s string) error { j.Classes = several(s); return nil },
	"diameters":    func(j *JointSet, s string) error { j.Diameters = several(s); return nil },
	"base_metal":   func(j *JointSet, s string) error { j.BaseMetal = s; return nil },
	"service":      func(j *JointSet, s string) error { j.Service = s; return nil },
	"pass":         func(j *JointSet, s string) error { j.Pass = s; return nil },
	"welders":      func(j *JointSet, s string) error { j.Welders = several(s); return nil },
	"heat_time":    func(j *JointSet, s string) error { j.HeatTime = s; return nil },
	"note":         func(j *JointSet, s string) error { j.Note = s; return nil },
	"heat_treated": heatTreated,
}

func heatTreated(j *JointSet, s string) error {
	switch strings.ToLower(s) {
	case "yes", "y", "true", "1":
		j.HeatTreated = true
	case "no", "n", "false", "0":
	default:
		return fmt.Errorf("%q is neither yes nor no", s)
	}
	return nil
}

// several parts the values of one cell.
func several(cell string) []string {
	var out []string
	for _, v := range strings.Split(cell, ";") {
		if v = strings.TrimSpace(v); v != "" {
			out = append(out, v)
		}
	}
	return out
}

// ReadJoints reads a list of joints as CSV, whose first row names the columns.
// The error names every row that is wrong, by line and column; then no joint is
// returned.
func ReadJoints(r io.Reader) ([]JointSet, error) {
	in := csv.NewReader(r)
	in.TrimLeadingSpace = true
	head, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("line 1: the file is empty; its first row names the columns")
	}
	if err != nil {
		return nil, err
	}
	if err := jointHead(head); err != nil {
		return nil, fmt.Errorf("line 1: %w", err)
	}
	var out []JointSet
	var faults []error
	seen := map[string]int{}
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, errors.Join(append(faults, err)...)
		}
		line, _ := in.FieldPos(0)
		j, err := jointRow(head, cells)
		if at, twice := seen[j.Joint]; twice && err == nil {
			err = fmt.Errorf("joint: %s stands in line %d too", j.Joint, at)
		}
		if seen[j.Joint] = line; err != nil {
			faults = append(faults, fmt.Errorf("line %d: %w", line, err))
		}
		out = append(out, j)
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return out, nil
}

// jointHead tidies the names of the columns, and refuses unknown and double
// ones.
func jointHead(head []string) error {
	for i, name := range head {
		name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))), " ", "_")
		if jointColumns[name] == nil {
			return fmt.Errorf("unknown column %q", head[i])
		}
		if slices.Contains(head[:i], name) {
			return fmt.Errorf("column %q stands twice", name)
		}
		head[i] = name
	}
	if !slices.Contains(head, "joint") {
		return errors.New("no column is called joint")
	}
	return nil
}

func jointRow(head, cells []string) (j JointSet, err error) {
	for i, name := range head {
		cell := strings.TrimSpace(cells[i])
		if cell == "" {
			continue
		}
		if err := jointColumns[name](&j, cell); err != nil {
			return j, fmt.Errorf("%s: %w", name, err)
		}
	}
	read, err := j.Read()
	j.HeatTreated = read.HeatTreated
	if ref, ok := errors.AsType[*Refusal](err); ok {
		return j, fmt.Errorf("%s: %s; %s", ref.Subject, ref.Why, ref.Next)
	}
	return j, err
}
