package backup

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ovenward/migrations/db"
)

// Keep is how many backups are kept: the newest of each of the last days, and of
// each of the last weeks, that have one. Zero of both keeps all.
type Keep struct{ Daily, Weekly int }

// Prune removes backups of a database from a folder that need not be kept, and
// returns their names. The newest always stays, and so does every file whose name
// is not that of a backup of this database.
func (k Keep) Prune(d *db.DB, dsn, folder string, zone *time.Location) (gone []string, err error) {
	if k == (Keep{}) {
		return nil, nil
	}
	name, ending, err := named(d, dsn)
	if err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var times []time.Time
	for _, e := range entries {
		if at, ok := madeAt(e.Name(), name, ending); ok && e.Type().IsRegular() {
			times = append(times, at)
		}
	}
	for _, at := range k.Spare(times, zone) {
		file := filepath.Join(folder, name+"-"+at.Format(stamp)+ending)
		if failed := os.Remove(file); failed != nil {
			err = errors.Join(err, failed)
			continue
		}
		gone = append(gone, file)
	}
	return gone, err
}

// madeAt reads the time in a backup's name.
func madeAt(file, name, ending string) (time.Time, bool) {
	text, ok := strings.CutPrefix(file, name+"-")
	text, ends := strings.CutSuffix(text, ending)
	at, err := time.Parse(stamp, text)
	return at, ok && ends && err == nil
}

// Spare returns which backups, by when they were made, need not be kept. Days and
// weeks, which begin on Monday, are those of the zone.
func (k Keep) Spare(times []time.Time, zone *time.Location) (spare []time.Time) {
	if k == (Keep{}) {
		return nil
	}
	times = slices.Clone(times)
	slices.SortFunc(times, func(a, b time.Time) int { return b.Compare(a) }) // newest first
	days, weeks := map[string]bool{}, map[string]bool{}
	for i, at := range times {
		year, week := at.In(zone).ISOWeek()
		kept := first(days, at.In(zone).Format(time.DateOnly), k.Daily)
		kept = first(weeks, fmt.Sprintf("%d-%d", year, week), k.Weekly) || kept
		if !kept && i > 0 {
			spare = append(spare, at)
		}
	}
	return spare
}

// first reports whether a period is met for the first time and is among the most
// that are counted.
func first(met map[string]bool, period string, most int) bool {
	if met[period] || len(met) >= most {
		return false
	}
	met[period] = true
	return true
}
