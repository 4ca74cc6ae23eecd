package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"ovenward/cmd/internal/report"
)

// everyReport runs each report in each form, with what follows it, of the
// subjects given as REPORT=SUBJECT. With "!" in front it expects that no report
// of the period has a row, and that each part says what was looked for.
func everyReport(ts *testscript.TestScript, neg bool, args []string) {
	subjects := map[string]string{}
	for _, r := range report.All() {
		i := slices.IndexFunc(args, func(a string) bool { return strings.HasPrefix(a, r.Name+"=") })
		if i >= 0 {
			subjects[r.Name] = args[i][len(r.Name)+1:]
			args = slices.Delete(slices.Clone(args), i, i+1)
		}
	}
	for _, r := range report.All() {
		line := []string{"report", r.Name}
		switch subject, ok := subjects[r.Name]; {
		case ok:
			line = append(line, subject)
		case r.Of != "" && r.Of[0] != '[':
			continue
		}
		if r.Over == report.APeriod {
			line = append(line, args...)
		}
		checkTable(ts, r, answered(ts, append([]string{"--format", "table"}, line...)))
		checkJSON(ts, neg, r, answered(ts, append([]string{"--format", "json"}, line...)))
		rows, err := csv.NewReader(strings.NewReader(answered(ts, append([]string{"--format", "csv"}, line...)))).ReadAll()
		if err != nil || len(rows) == 0 {
			ts.Fatalf("report %s as CSV: %d rows, %v", r.Name, len(rows), err)
		}
	}
}

// answered is what a command prints that must succeed.
func answered(ts *testscript.TestScript, line []string) string {
	oneAtATime.Lock()
	defer oneAtATime.Unlock()
	var out, errs strings.Builder
	e := &env{in: strings.NewReader(""), out: &out, errs: &errs, now: func() time.Time { return readClock(ts) }}
	global := []string{"ovenward", "--db", ts.Getenv("OVENWARD_DB"), "--by", ts.Getenv("OVENWARD_BY")}
	if site := ts.Getenv("OVENWARD_SITE"); site != "" {
		global = append(global, "--site", site)
	}
	if status := e.run(context.Background(), append(global, line...)); status != exitDone {
		ts.Fatalf("%s: exit status %d\n%s", strings.Join(line, " "), status, errs.String())
	}
	return out.String()
}

func checkTable(ts *testscript.TestScript, r report.Report, text string) {
	if !strings.HasPrefix(text, strings.ToUpper(r.Title)) || strings.Count(text, "\n") < 7 {
		ts.Fatalf("report %s as tables:\n%s", r.Name, text)
	}
}

// checkJSON holds that a part has rows or says what was looked for in vain.
func checkJSON(ts *testscript.TestScript, empty bool, r report.Report, text string) {
	var got struct {
		Report string `json:"report"`
		Parts  []struct {
			Name  string           `json:"name"`
			Rows  []map[string]any `json:"rows"`
			Empty string           `json:"empty"`
		} `json:"parts"`
	}
	ts.Check(json.Unmarshal([]byte(text), &got))
	if got.Report != r.Name || len(got.Parts) == 0 {
		ts.Fatalf("report %s as JSON is of %q, in %d parts", r.Name, got.Report, len(got.Parts))
	}
	full := 0
	for _, p := range got.Parts {
		if (len(p.Rows) == 0) != (p.Empty != "") {
			ts.Fatalf("report %s, part %s: %d rows, empty %q", r.Name, p.Name, len(p.Rows), p.Empty)
		}
		full += len(p.Rows)
	}
	if !empty && full == 0 {
		ts.Fatalf("report %s found nothing at all", r.Name)
	}
}
