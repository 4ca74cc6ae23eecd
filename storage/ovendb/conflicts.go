package ovendb

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Conflict is a reading that is stored with another value than one that came
// later.
type Conflict struct {
	Index  int // of the one that came later, in the list that was asked about
	Stored measure.Temperature
}

// Conflicts returns which readings of a list are stored with another value, in
// the order of the list.
func Conflicts(ctx context.Context, tx *sqlx.Tx, site string, list []Reading) ([]Conflict, error) {
	of := map[string][]int{}
	for i, r := range list {
		of[r.Sensor] = append(of[r.Sensor], i)
	}
	var found []Conflict
	for sensor, indexes := range of {
		for some := range slices.Chunk(indexes, rowsAtOnce(tx)) {
			stored, err := at(ctx, tx, site, sensor, list, some)
			if err != nil {
				return nil, err
			}
			for _, i := range some {
				if temp, ok := stored[list[i].At]; ok && temp != list[i].Temp {
					found = append(found, Conflict{Index: i, Stored: temp})
				}
			}
		}
	}
	slices.SortFunc(found, func(a, b Conflict) int { return cmp.Compare(a.Index, b.Index) })
	return found, nil
}

// at returns what is stored of a sensor at the instants of some of the list, of
// which there are few enough for one statement.
func at(ctx context.Context, tx *sqlx.Tx, site, sensor string, list []Reading, some []int) (
	map[measure.Instant]measure.Temperature, error) {
	args := []any{site, sensor}
	for _, i := range some {
		args = append(args, int64(list[i].At))
	}
	var rows []struct {
		At   measure.Instant     `db:"at_us"`
		Temp measure.Temperature `db:"temp_k"`
	}
	err := tx.SelectContext(ctx, &rows, `SELECT at_us, temp_k FROM reading
		WHERE site = $1 AND sensor = $2 AND at_us IN (`+numbered("$%d", 3, len(some), 1)+`)`, args...)
	if err != nil {
		return nil, fmt.Errorf("readings of sensor %s: %w", sensor, err)
	}
	stored := make(map[measure.Instant]measure.Temperature, len(rows))
	for _, r := range rows {
		stored[r.At] = r.Temp
	}
	return stored, nil
}
