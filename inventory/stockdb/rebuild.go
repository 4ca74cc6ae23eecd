package stockdb

import (
	"context"
	"fmt"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// projections are the tables that follow from the facts, each with its columns
// in the order of its key. What belongs to one lot stands behind what names the
// lot.
var projections = []struct {
	name, columns string
	order         int    // how many of the columns order it
	ofLot         string // how the rows of one lot are found; empty: they are of none
}{
	{"site", "site, zone, units, rules", 1, ""},
	{"counter", "site, kind, n", 2, ""},
	{"place", "site, place, kind", 2, ""},
	{"sensor", "site, sensor, place, position", 2, ""},
	{"calibration", "site, sensor, at_us, error_k, due_us, found_k", 3, ""},
	{"shutdown", "site, place, from_us, to_us, why, by_who", 3, ""},
	{"oven_check", "site, place, at_us, seq, noted_us, temp_k, floor, note, by_who", 4, ""},
	{"ruleset", "site, id, edition, digest, body, approved_by, approved_us", 2, ""},
	{"job", "site, job, rules", 2, ""},
	{"person", "site, person, seq, name, roles, since, until, office", 3, ""},
	{"training", "site, person, rules, on_day", 4, ""},
	{"lot_fact", "site, lot, seq", 3, ofLot},
	{"lot", `site, lot, class, spec, canonical, diameter_nm, length_nm, size, maker, certificate, certificate_kind,
		made, expires, piece_ug, status, reason, product, owner, lot_class, schedule, extended, extension`, 2, ofLot},
	{"bundle", `site, bundle, lot, package, tight, sealed, pieces, mass_ug, place, place_kind, slip, hold,
		received_us, born_us, returned, rack, recycled`, 2, ofLot},
	{"blend", "site, bundle, input, lot, input_lot, mass_ug, recycled_ug, at_us", 3, ofLot},
	{"origin", "site, bundle, parent, at_us, lot", 3, ofItsBundles},
	{"stay", `site, bundle, from_us, seq, to_us, place, place_kind, sealed, slip, returned, bake_set_k, bake_layers,
		bake_ug, lot, rack, bake_depth_nm`, 4, ofItsBundles},
	{"happening", "site, bundle, seq, at_us, kind, disposition, lot", 3, ofItsBundles},
	{"slip", `site, slip, bundle, lot, pieces, mass_ug, welder, holder, holder_kind, job, rules, at_us, closed_us,
		unused, stubs, damaged, unidentified, unused_ug, by_who`, 2, ofLot},
	{"slip_joint", "site, slip, joint, lot", 3, ofItsSlips},
	{"proposal", `site, proposal, seq, lot, bundle, slip, disposition, until, why, evidence, digest, proposer, at_us,
		outcome, decided_by, decided_us, reason`, 2, ofLot},
	{"remark", "site, seq, lot, bundle, slip, what, words, seen_by, at_us", 2, ofLot},
	{"climate", "site, place, at_us, temp_k, rh_pp, weather, by_who", 3, ""},
	{"test_report", `site, seq, maker, class, exposed_us, temp_k, rh_pp, moisture_pp, reference, expires, at_us,
		by_who`, 2, ""},
	{"slip_flag", "site, slip, n, lot, code, why", 3, ofItsSlips},
	{"joint", "site, joint, since_us, seq, job, body, by_who", 4, ""},
	{"job_terms", "site, job, since_us, seq, body, by_who", 4, ""},
	{"certificate", "site, lot, number, since_us, seq, body, by_who", 5, ""},
	{"turned_away", "site, seq, at_us, body, by_who", 2, ""},
	{"loss", "site, seq, kind, lot, bundle, pieces, mass_ug, reason, at_us", 3, ofLot},
}

// The rows of a lot are found by an index that is there for something else.
const (
	ofLot        = `lot = $2`
	ofItsBundles = `bundle IN (SELECT bundle FROM bundle WHERE site = $1 AND lot = $2)`
	ofItsSlips   = `slip IN (SELECT slip FROM slip WHERE site = $1 AND lot = $2)`
)

// ForgetLot drops what the tables say of a lot, to be rebuilt from its facts.
func ForgetLot(ctx context.Context, tx *sqlx.Tx, site, lot string) error {
	for _, p := range slices.Backward(projections) {
		if p.ofLot == "" {
			continue
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM `+p.name+` WHERE site = $1 AND `+p.ofLot, site, lot); err != nil {
			return fmt.Errorf("lot %s: %w", lot, err)
		}
	}
	return nil
}

// Forget drops everything that follows from a site's facts.
func Forget(ctx context.Context, tx *sqlx.Tx, site string) error {
	for _, p := range projections {
		if _, err := tx.ExecContext(ctx, `DELETE FROM `+p.name+` WHERE site = $1`, site); err != nil {
			return fmt.Errorf("site %s: %w", site, err)
		}
	}
	return nil
}

// FactsOfLot returns the numbers of the facts that speak of a lot, in order.
func FactsOfLot(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]int64, error) {
	return list[int64](ctx, tx, "facts of lot "+lot, `SELECT seq FROM lot_fact WHERE site = $1 AND lot = $2 ORDER BY seq`, site, lot)
}

// InPlay returns the lots that a fact with a number or a later one speaks of, and
// those of which there is stock, in the order of their codes. Each lot's newest
// fact is looked up, not each fact.
func InPlay(ctx context.Context, tx *sqlx.Tx, site string, since int64) ([]string, error) {
	return list[string](ctx, tx, "lots in play", `SELECT lot FROM lot WHERE site = $1 AND (
			EXISTS (SELECT 1 FROM lot_fact WHERE lot_fact.site = $1 AND lot_fact.lot = lot.lot AND lot_fact.seq >= $2)
			OR EXISTS (SELECT 1 FROM bundle WHERE bundle.site = $1 AND bundle.lot = lot.lot AND (bundle.pieces > 0 OR bundle.mass_ug > 0)))
		ORDER BY lot`, site, since)
}

// FactsOfLotAfter returns the numbers of the facts that speak of a lot and
// happened after an instant, or were corrected and may have. It asks the ledger
// and the lot's facts in one question, because it is asked at the window.
func FactsOfLotAfter(ctx context.Context, tx *sqlx.Tx, site, lot string, at measure.Instant) ([]int64, error) {
	return list[int64](ctx, tx, "later facts of lot "+lot, `SELECT lot_fact.seq FROM lot_fact
		JOIN fact ON fact.site = lot_fact.site AND fact.seq = lot_fact.seq
		WHERE lot_fact.site = $1 AND lot_fact.lot = $2 AND (fact.at_us > $3 OR EXISTS (
			SELECT 1 FROM fact AS newer WHERE newer.site = fact.site AND newer.supersedes = fact.id AND newer.supersedes <> ''))
		ORDER BY lot_fact.seq`, site, lot, at)
}

// Row is one row of a projection as text, for comparing two databases.
type Row struct {
	Table string
	Text  string
}

// Dump calls fn with every row of every projection of a site, in one order on
// every engine.
func Dump(ctx context.Context, tx *sqlx.Tx, site string, fn func(Row) error) error {
	for _, p := range projections {
		if err := dump(ctx, tx, site, p.name, p.columns, p.order, fn); err != nil {
			return fmt.Errorf("table %s: %w", p.name, err)
		}
	}
	return nil
}

func dump(ctx context.Context, tx *sqlx.Tx, site, table, columns string, order int, fn func(Row) error) error {
	by := "1"
	for i := 2; i <= order; i++ {
		by += fmt.Sprintf(", %d", i)
	}
	rows, err := tx.QueryContext(ctx, `SELECT `+columns+` FROM `+table+` WHERE site = $1 ORDER BY `+by, site)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		cells, err := sqlx.SliceScan(rows)
		if err != nil {
			return err
		}
		if err := fn(Row{table, asText(cells)}); err != nil {
			return err
		}
	}
	return rows.Err()
}

// asText is a row in one form on every engine.
func asText(cells []any) string {
	text := ""
	for _, c := range cells {
		if b, ok := c.([]byte); ok {
			c = string(b)
		}
		text += fmt.Sprintf("|%v", c)
	}
	return text
}
