package app_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/plan"
	"ovenward/forecast/terms"
	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// staffed is a shop whose people are set up: QA, an attendant and a buyer.
func staffed(t tb, d *db.DB, site string) *shop {
	s := newShop(t, d, site)
	for _, p := range []struct {
		badge string
		role  inventory.Role
	}{{"Q1", inventory.QA}, {attendant, inventory.Attendant}, {"P1", inventory.Purchasing}} {
		s.do(&inventory.PersonSet{Person: p.badge, Roles: []inventory.Role{p.role}}, by("Q1"))
	}
	return s
}

// A new kind of fact that nobody thought of who may record fails here: what it
// says is not asked for before who says it.
func TestEveryKindOfFactAsksWhoRecordsIt(t *testing.T) {
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := staffed(t, open(), "yard")
		before := s.state()
		for _, kind := range inventory.Kinds() {
			e, err := inventory.NewEntry(kind)
			if err != nil {
				t.Fatal(err)
			}
			_, err = s.Record(t.Context(), app.Request{By: "stranger", Entry: e, DryRun: true})
			ref, refused := asRefusal(err)
			barred := refused && (ref.Code == inventory.NotAuthorised || ref.Code == inventory.QAOnly)
			if want := len(inventory.MayRecord(kind)) > 0; barred != want {
				t.Errorf("%s by a stranger: %v, want it barred: %t", kind, err, want)
			}
		}
		s.wantState(before)
	})
}

func TestPlansAndTermsArePurchasings(t *testing.T) {
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := staffed(t, open(), "yard")
		load := func(by string) error {
			_, err := s.LoadPlan(t.Context(), app.PlanLoad{By: by, Name: "plan.csv", File: []byte(plan.Template()), DryRun: by == "P1"})
			return err
		}
		set := func(by string) error {
			_, err := s.LoadBuying(t.Context(), app.PlanLoad{By: by, Name: "terms.toml", File: []byte(terms.Template())})
			return err
		}
		for what, do := range map[string]func(by string) error{"a plan": load, "terms": set} {
			if ref, ok := asRefusal(do(attendant)); !ok || ref.Code != inventory.NotAuthorised || ref.Next != "ask P1" {
				t.Errorf("%s by the attendant: %v, want it refused and P1 named", what, ref)
			}
			if err := do("P1"); err != nil {
				t.Errorf("%s by purchasing: %v", what, err)
			}
		}
	})
}

// asked are the functions that write, with where they ask who does it, or why
// nobody is asked.
var asked = map[string]string{
	"RecordAll":      "each entry is asked about in desk.authorised",
	"Correct":        "the kind of the corrected fact is asked about in desk.mayRecord",
	"LoadPlan":       "mayPlan",
	"LoadBuying":     "mayPlan",
	"Handle":         "mayHandle",
	"write":          "of the two above",
	"load":           "a ledger brings facts that were asked about where they were recorded",
	"Rebuild":        "says nothing that the facts do not say",
	"addFrom":        "an instrument speaks, whoever carries its log; setting a sensor up is asked about",
	"Take":           "as above, and a logger is no person",
	"SourceState":    "the daemon keeps how it stands with what it reads",
	"noteTurnedAway": "whoever is turned away, it is kept",
	"Watch":          "the daemon keeps what facts came to",
	"Tell":           "the daemon keeps how far a channel is told",
	"outgoing":       "the daemon keeps what it is about to tell",
	"Escalate":       "the daemon keeps what nobody acknowledged",
	"Post":           "the daemon keeps the lists that fell due",
	"tellList":       "the daemon keeps how far a list is told",
	"NoteCheck":      "the daemon keeps what its own checks found",
	"Remind":         "the daemon keeps which checks it reminded of",
	"claimList":      "the daemon keeps which program tells a list",
	"NoteUpkeep":     "the program keeps what its own upkeep came to",
	"SetAlarms":      "the daemon keeps what its configuration says",
	"KeepForecast":   "mayPlan",
	"Joined":         "the daemon keeps from when on a channel is told",
	"run":            "each entry of an import is asked about in desk.authorised",
	"chunk":          "an instrument speaks, whoever carries its log",
}

func TestEveryWriteAsksWhoDoesIt(t *testing.T) {
	t.Parallel()
	found := writers(t)
	for _, name := range found {
		if asked[name] == "" {
			t.Errorf("%s writes and is not in the list: let it ask who does it, and say where", name)
		}
	}
	for name := range asked {
		if !slices.Contains(found, name) {
			t.Errorf("%s is in the list and writes nothing", name)
		}
	}
}

// writers are the functions of the package that begin a write transaction.
func writers(t *testing.T) (names []string) {
	t.Helper()
	paths, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, text, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, decl := range file.Decls {
			if fn, ok := decl.(*ast.FuncDecl); ok && writes(fn) {
				names = append(names, fn.Name.Name)
			}
		}
	}
	return names
}

func writes(fn *ast.FuncDecl) (found bool) {
	ast.Inspect(fn, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		if sel, ok := call.Fun.(*ast.SelectorExpr); ok {
			from, _ := sel.X.(*ast.SelectorExpr)
			at, _ := sel.X.(*ast.Ident)
			found = found || (sel.Sel.Name == "Write" && from != nil && from.Sel.Name == "DB") ||
				(sel.Sel.Name == "write" && at != nil && at.Name == "a")
		}
		return true
	})
	return found
}
