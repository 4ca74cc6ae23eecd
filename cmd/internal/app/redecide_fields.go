package app

import (
	"fmt"
	"strings"

	"ovenward/inventory"
)

func told(name string, in map[string]string) string {
	if in[name] == "" {
		return "no " + name
	}
	return name + " " + in[name]
}

// judgedFields are what is compared of a judgement, in the order in which a
// difference is told. The sentences that told it are not: a later program may
// word them otherwise. Nor is why a bundle was proposed, which is not asked again.
var judgedFields = []string{"verdict", "exposure", "exposure_least", "limit", "warn_us", "due_us", "ready_us", "bakes", "new", "rule",
	"edition", "digest", "opened", "joints", "flags"}

// judgement returns the fields of a stored judgement; those that are empty or
// zero are left out.
func judgement(e inventory.Entry) map[string]string {
	out := map[string]string{}
	switch e := e.(type) {
	case *inventory.Issued:
		windowJudgement(e.Judged, out)
	case *inventory.Returned:
		windowJudgement(e.Judged, out)
	case *inventory.Scrapped:
		if e.Judged != nil {
			out["verdict"] = string(*e.Judged)
		}
	case *inventory.Blended:
		if j := e.Judged; j != nil {
			out["rule"], out["edition"], out["digest"], out["new"] = j.Rules+"/"+j.Rows, j.Edition, j.Digest, j.New
		}
	}
	var flags []string
	for _, f := range inventory.ActOf(e).Flags {
		flags = append(flags, string(f.Code))
	}
	out["flags"] = strings.Join(flags, " ")
	return out
}

func windowJudgement(j *inventory.Judged, out map[string]string) {
	if j == nil {
		return
	}
	out["verdict"], out["exposure"], out["exposure_least"], out["limit"] = string(j.Verdict), j.Most, j.Least, j.Limit
	out["rule"], out["edition"], out["digest"], out["joints"] = j.Rules+"/"+j.Row, j.Edition, j.Digest, strings.Join(j.Joints, " ")
	for name, n := range map[string]int64{"warn_us": int64(j.Warn), "due_us": int64(j.Due), "ready_us": int64(j.Ready), "bakes": j.Bakes} {
		if n != 0 {
			out[name] = fmt.Sprint(n)
		}
	}
	if j.Opened {
		out["opened"] = "yes"
	}
}

// decided reports whether an entry keeps a judgement that led to it.
func decided(e inventory.Entry) bool {
	switch e := e.(type) {
	case *inventory.Issued:
		return e.Judged != nil
	case *inventory.Returned:
		return e.Judged != nil
	case *inventory.Scrapped:
		return e.Judged != nil
	case *inventory.Blended:
		return e.Judged != nil
	}
	return false
}

// unjudge takes the judgement out of an entry, to be made again.
func unjudge(e inventory.Entry) {
	switch e := e.(type) {
	case *inventory.Issued:
		e.Judged = nil
	case *inventory.Returned:
		e.Judged = nil
	case *inventory.Scrapped:
		e.Judged = nil
	case *inventory.Blended:
		e.Judged = nil
	}
}

// decidedOf is what a decision was about.
func decidedOf(e inventory.Entry) string {
	switch e := e.(type) {
	case *inventory.Issued:
		return e.Slip
	case *inventory.Returned:
		return e.Slip
	case *inventory.Scrapped:
		return e.Bundle
	case *inventory.Blended:
		return e.As
	}
	return ""
}
