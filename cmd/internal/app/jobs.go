package app

import (
	"context"
	"encoding/hex"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/stockdb"
)

// jointSet checks what a joint asks; the error names the field.
func (d *desk) jointSet(e *inventory.JointSet) error {
	e.Joint = strings.TrimSpace(e.Joint)
	j, err := e.Read()
	if err != nil {
		return err
	}
	e.HeatTreated = j.HeatTreated
	return nil
}

// jobSet checks what a job asks. The rule set that it names must be approved.
func (d *desk) jobSet(e *inventory.JobSet) error {
	if e.Job = strings.TrimSpace(e.Job); e.Job == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "job", Why: "the job has no name", Next: "give its number"}
	}
	if _, err := e.Demand(); err != nil {
		return err
	}
	if e.Rules == "" {
		return nil
	}
	_, err := d.setByID(e.Rules)
	return err
}

// certificateSet checks a paper. One for a lot that is not here may be early,
// or its number may be typed wrong.
func (d *desk) certificateSet(e *inventory.CertificateSet) error {
	p, err := e.Read()
	if err != nil {
		return err
	}
	e.Lot, e.Number, e.Condition = p.Lot, p.Number, string(p.Tests)
	if sum, err := hex.DecodeString(e.Digest); err != nil || (len(sum) != 0 && len(sum) != 32) {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "digest", Value: e.Digest, Why: "it is no SHA-256 in hexadecimal",
			Next: "give the paper's file, and the program computes it"}
	}
	l, err := stockdb.Lot(d.ctx, d.tx, d.site, e.Lot)
	if ignoreMissing(err) != nil {
		return err
	}
	switch {
	case err != nil:
		d.warn("nothing of lot %s is here: compare the number with the package", e.Lot)
	case e.Rejected != "" && l.Status == inventory.Released:
		d.warn("lot %s is released: hold it with ovenward lot hold %s", l.Code, l.Code)
	}
	return nil
}

// Joints returns every joint as it stands, or those of one job.
func (a *App) Joints(ctx context.Context, job string) (out []jobdb.Stood[inventory.JointSet], err error) {
	err = a.read(ctx, 0, func(v *view) error {
		all, err := jobdb.Joints(v.ctx, v.tx, v.site, v.at)
		out = nil
		for _, j := range all {
			if job == "" || j.Entry.Job == job {
				out = append(out, j)
			}
		}
		return err
	})
	return out, err
}

// Jobs returns every job as it stands.
func (a *App) Jobs(ctx context.Context) (out []jobdb.Stood[inventory.JobSet], err error) {
	err = a.read(ctx, 0, func(v *view) error {
		out, err = jobdb.Jobs(v.ctx, v.tx, v.site, v.at)
		return err
	})
	return out, err
}
