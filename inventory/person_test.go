package inventory_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// shopCrew is a shop with one person of each role, and an attendant who left.
func shopCrew(day measure.Date) inventory.Crew {
	const since = "2025-06-01"
	return inventory.CrewOn([]inventory.Person{
		{Badge: "A1", Name: "Ines", Roles: []inventory.Role{inventory.Attendant}, Since: since, Seq: 1},
		{Badge: "A2", Name: "Tomas", Roles: []inventory.Role{inventory.Attendant}, Since: since, Until: "2025-06-30", Seq: 2},
		{Badge: "F1", Name: "Lars", Roles: []inventory.Role{inventory.Foreman}, Since: since, Seq: 3},
		{Badge: "Q1", Name: "Ruth", Roles: []inventory.Role{inventory.QA}, Since: since, Seq: 4},
		{Badge: "P1", Name: "Per", Roles: []inventory.Role{inventory.Purchasing}, Since: since, Seq: 5},
		{Badge: "W3", Name: "Bo", Roles: []inventory.Role{inventory.Welder}, Since: since, Seq: 6},
	}, day)
}

// code is the code of a refusal, empty for none.
func code(err error) inventory.Code {
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		return ref.Code
	}
	return ""
}

// Who may do what follows the division of work in rod rooms: the attendant
// hands out, QA releases and disposes, and nobody else does either (cases C78,
// C81).
func TestRolesSayWhoMayRecordWhat(t *testing.T) {
	t.Parallel()
	crew := shopCrew("2025-06-05")
	for _, c := range []struct {
		kind, badge string
		want        inventory.Code
	}{
		{"issue", "A1", ""}, {"issue", "F1", inventory.NotAuthorised}, {"issue", "Q1", inventory.NotAuthorised},
		{"issue", "W3", inventory.NotAuthorised}, {"issue", "nobody", inventory.NotAuthorised},
		{"release", "Q1", ""}, {"release", "A1", inventory.QAOnly}, {"release", "F1", inventory.QAOnly},
		{"decide", "A1", inventory.QAOnly}, {"rules", "P1", inventory.QAOnly}, {"person", "F1", inventory.QAOnly},
		{"hold", "W3", ""}, {"wet", "W3", ""}, {"scrap", "Q1", ""}, {"scrap", "P1", inventory.NotAuthorised},
	} {
		if got := code(crew.Check(c.kind, c.badge)); got != c.want {
			t.Errorf("Check(%q, %q) refuses with %q, want %q", c.kind, c.badge, got, c.want)
		}
	}
}

func TestAuthorityLastsFromTheFirstDayToTheLast(t *testing.T) {
	t.Parallel()
	for day, want := range map[measure.Date]bool{"2025-05-31": false, "2025-06-01": true, "2025-06-30": true, "2025-07-01": false} {
		if got := shopCrew(day).Holds("A2", []inventory.Role{inventory.Attendant}); got != want {
			t.Errorf("on %s an attendant: %t, want %t", day, got, want)
		}
	}
}

func TestALaterFactHoldsFromItsOwnDay(t *testing.T) {
	t.Parallel()
	all := []inventory.Person{
		{Badge: "A1", Roles: []inventory.Role{inventory.Attendant}, Since: "2025-01-01", Seq: 1},
		{Badge: "A1", Roles: []inventory.Role{inventory.QA}, Since: "2025-06-01", Seq: 2},
		{Badge: "A1", Roles: []inventory.Role{inventory.QA}, Since: "2025-06-01", Until: "2025-06-30", Seq: 3},
	}
	got := map[measure.Date][]inventory.Role{}
	for _, day := range []measure.Date{"2024-12-31", "2025-05-31", "2025-06-01", "2025-07-01"} {
		p, _ := inventory.CrewOn(all, day).Find("A1")
		got[day] = p.Roles
	}
	want := map[measure.Date][]inventory.Role{"2024-12-31": nil, "2025-05-31": {inventory.Attendant},
		"2025-06-01": {inventory.QA}, "2025-07-01": nil}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("roles by day (-want +got):\n%s", diff)
	}
}

func TestNobodySetUpMeansNothingIsChecked(t *testing.T) {
	t.Parallel()
	welders := inventory.CrewOn([]inventory.Person{{Badge: "W3", Roles: []inventory.Role{inventory.Welder}, Since: "2025-01-01"}}, "2025-06-05")
	for _, crew := range []inventory.Crew{{}, welders} {
		if err := crew.Check("release", "anybody"); err != nil {
			t.Errorf("Check with %v set up = %v, want none", crew.People, err)
		}
	}
}

func TestAnOverrideTakesAuthorityAReasonAndAnotherPerson(t *testing.T) {
	t.Parallel()
	crew := shopCrew("2025-06-05")
	asked := inventory.Override{Why: "tested again", Proposer: "A1"}
	for _, c := range []struct {
		name string
		code inventory.Code
		by   string
		o    inventory.Override
		want inventory.Code
	}{
		{"QA, of a date", inventory.Expired, "Q1", asked, ""},
		{"a foreman, of a second filler", inventory.SecondFiller, "F1", asked, ""},
		{"a foreman, of a date", inventory.Expired, "F1", asked, inventory.QAOnly},
		{"an attendant, of a second filler", inventory.SecondFiller, "A1", inventory.Override{Why: "x", Proposer: "F1"}, inventory.NotAuthorised},
		{"the one who asks", inventory.Expired, "Q1", inventory.Override{Why: "x", Proposer: "Q1"}, inventory.SamePerson},
		{"asked for by nobody", inventory.Expired, "Q1", inventory.Override{Why: "x"}, inventory.SamePerson},
		{"without a reason", inventory.Expired, "Q1", inventory.Override{Proposer: "A1"}, inventory.Unknown},
		{"QA, of wet rods", inventory.Wet, "Q1", asked, inventory.Wet},
		{"QA, of rods that are not there", inventory.NotEnough, "Q1", asked, inventory.NotEnough},
	} {
		got, err := crew.Overruled(&inventory.Refusal{Code: c.code, Subject: "B1", Why: "refused", Value: "v", Limit: "l"}, c.o, c.by)
		if code(err) != c.want {
			t.Errorf("%s: refused with %v, want %q", c.name, err, c.want)
		}
		want := inventory.Overrode{}
		if c.want == "" {
			want = inventory.Overrode{Code: c.code, Subject: "B1", Why: "refused", Value: "v", Limit: "l"}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// allCodes is the list of section 9 of the design, which is closed.
var allCodes = []inventory.Code{inventory.NoRule, inventory.RulesNotApproved, inventory.NotReleased, inventory.OnHold,
	inventory.Expired, inventory.HoldNotComplete, inventory.OverLimit, inventory.BakesSpent, inventory.Wet, inventory.NeverBake,
	inventory.FirstBake, inventory.CoStorage, inventory.NotEnough, inventory.WrongClass, inventory.WrongSize,
	inventory.SecondFiller, inventory.CertificateCode, inventory.TestedCondition, inventory.TooMany, inventory.ImpossibleOrder,
	inventory.Future, inventory.AmbiguousTime, inventory.NoSuchTime, inventory.BalanceCode, inventory.Unit,
	inventory.NotAuthorised, inventory.QAOnly, inventory.SamePerson, inventory.Duplicate, inventory.Unknown}

func TestEveryRefusalIsOverridableBySomebodyOrSaysWhyNot(t *testing.T) {
	t.Parallel()
	for _, c := range allCodes {
		if roles, reason := c.Overridable(); (len(roles) > 0) == (reason != "") {
			t.Errorf("%s: roles %v, reason %q; want one of them", c, roles, reason)
		}
	}
}
