package timeline_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/cmd/internal/timeline"
	"ovenward/migrations/db/dbtest"
)

// TestAlertsAreExpectedByWhenTheyWereRaised under the reference rules: warning at
// 3:12 of 4:00, a hold of 4:00, no reading for 60 minutes.
func TestAlertsAreExpectedByWhenTheyWereRaised(t *testing.T) {
	t.Parallel()
	holds(t, 9, out40,
		`{"at":"2025-06-05 10:11:59","do":"expect","alert":"exposure-near","slip":"S1","raised":null}`,
		`{"at":"2025-06-05 10:12","do":"expect","alert":"exposure-near","slip":"S1","raised":"2025-06-05 10:12"}`,
		`{"at":"2025-06-05 10:12","do":"expect","alert":"exposure-near","bundle":"S1","raised":"2025-06-05 10:12"}`,
		`{"at":"2025-06-05 10:30","do":"return","slip":"S1","unused":40,"into":"H1","as":"R1"}`,
		`{"at":"2025-06-05 14:30","do":"expect","alert":"hold-complete","bundle":"R1","raised":"2025-06-05 14:30"}`,
		`{"at":"2025-06-05 14:30","do":"expect","alert":"hold-complete","bundle":"K1","raised":null}`,
		`{"at":"2025-06-05 18:30","do":"reading","place":"H1","value":"100 C"}`,
		`{"at":"2025-06-05 19:00","do":"expect","alert":"oven-cold","place":"H1","raised":"2025-06-05 18:30"}`,
		`{"at":"2025-06-05 19:00","do":"expect","alert":"no-reading","place":"H1","raised":null}`,
		`{"at":"2025-06-05 20:00","do":"expect","alert":"no-reading","place":"H1","raised":"2025-06-05 19:30"}`,
		`{"at":"2025-06-05 20:00","do":"expect","alert":"exposure-near","slip":"S1","raised":"2025-06-05 10:12","note":"over, but it was raised"}`)
}

func TestAnAlertThatWasNotRaisedFailsWithBothValues(t *testing.T) {
	t.Parallel()
	res := replay(t, in(out40,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"exposure-past","slip":"S1","raised":"2025-06-05 11:01"}`,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"exposure-past","slip":"S1","raised":null}`))
	if res.Held != 0 || len(res.Outcomes) != 2 {
		t.Fatalf("%d held of %d, want 0 of 2", res.Held, len(res.Outcomes))
	}
	for i, want := range []string{"raised is 2025-06-05 11:00, expected 2025-06-05 11:01", "raised is 2025-06-05 11:00, expected none"} {
		if got := res.Outcomes[i].String(); !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
}

// TestAnAlertAboutNothingFails: were it held, a slip that is misspelt
// would never have been overdue.
func TestAnAlertAboutNothingFails(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		`{"at":"2025-06-05 11:30","do":"expect","alert":"exposure-passed","slip":"S1","raised":null}`,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"exposure-past","slip":"S9","raised":null}`,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"hold-complete","bundle":"R9","raised":null}`,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"oven-cold","place":"H9","raised":null}`,
		`{"at":"2025-06-05 11:30","do":"expect","alert":"oven-cold","raised":null}`,
	} {
		res, err := timeline.Replay(t.Context(), dbtest.SQLite(t), read(t, in(out40, text)))
		if _, named := errors.AsType[*timeline.LineError](err); !named && res.Failed != 1 {
			t.Errorf("%s: error %v, %d failed, want the line named or failed", text, err, res.Failed)
		}
	}
}
